// @ts-check
/**
 * Pictures of a clip by frame index: packs of JPEGs, read by byte ranges. The frame shown is the frame asked for by
 * construction, for a still is found by its index alone. Compressed bytes are kept; decoded pictures are the caller's.
 */
import { bytes } from "./ranges.js";

/**
 * @typedef {{file: string, first: number, last: number, offsets: number[]}} Pack  still i of the pack lies in
 * offsets[i]..offsets[i+1]
 * @typedef {{schema: number, width: number, height: number, packs: Pack[]}} Index
 */

const KEPT_BYTES = 96 * 1024 * 1024;
const GROUP = 8;

export class Stills {
  /**
   * @param {Index} index
   * @param {string} folder  address before a file's name
   * @param {typeof fetch} [fetcher]
   * @param {number} [room]  bytes to keep
   */
  constructor(index, folder, fetcher = (...given) => fetch(...given), room = KEPT_BYTES) {
    this.index = index;
    this.folder = folder;
    this.fetcher = fetcher;
    this.room = room;
    this.weight = 0;
    /** @type {Map<number, Uint8Array>} */
    this.kept = new Map();
    /** @type {Map<number, Promise<Uint8Array>>} */
    this.coming = new Map();
    /** @type {AbortController|null} */
    this.ahead = null;
  }

  /**
   * @param {string} folder
   * @param {typeof fetch} [fetcher]
   */
  static async open(folder, fetcher = (...given) => fetch(...given)) {
    const answer = await fetcher(`${folder}stills.json`, { credentials: "same-origin" });
    if (!answer.ok) throw new Error(`stills.json: the server answered ${answer.status}`);
    return new Stills(await answer.json(), folder, fetcher);
  }

  /** @param {number} frame */
  pack(frame) {
    const pack = this.index.packs.find((one) => one.first <= frame && frame <= one.last);
    if (!pack) throw new RangeError(`There is no still of frame ${frame}.`);
    return pack;
  }

  /**
   * The JPEG of one frame, fetched alone when it is not there yet.
   * @param {number} frame
   * @returns {Promise<Uint8Array>}
   */
  async jpeg(frame) {
    const kept = this.kept.get(frame);
    if (kept) return this.touched(frame, kept);
    const coming = this.coming.get(frame);
    if (coming) {
      try {
        return await coming;
      } catch {
        // the group it was to come with was dropped; fetched alone below
      }
    }
    this.ahead?.abort(); // the wanted frame goes first
    return this.load(frame, frame);
  }

  /**
   * A still that was asked for by an address of its own is waited for, not fetched again.
   * @param {number} frame
   * @param {Promise<Uint8Array>} still
   */
  expect(frame, still) {
    this.coming.set(frame, still);
    const end = () => this.coming.get(frame) === still && this.coming.delete(frame);
    still.then((jpeg) => (this.keep(frame, jpeg), end()), end);
  }

  /**
   * Whether the frame's bytes are here.
   * @param {number} frame
   */
  has(frame) {
    return this.kept.has(frame);
  }

  /**
   * Fetch the neighbours of a frame in the direction of travel, a group at a time; a newer call drops an older one.
   * @param {number} frame
   * @param {1|-1} direction
   * @param {number} groups
   */
  async comeAhead(frame, direction, groups = 2) {
    this.ahead?.abort();
    const latest = (this.ahead = new AbortController());
    let at = frame + direction;
    for (let fetched = 0; fetched < groups && !latest.signal.aborted;) {
      const group = this.missing(at, direction);
      if (!group || Math.abs(group[0] - frame) > GROUP * (groups + 1)) return;
      try {
        await this.load(group[0], group[1], latest.signal);
      } catch {
        return; // dropped, or the line broke: a wanted frame asks for itself
      }
      fetched++;
      at = direction > 0 ? group[1] + 1 : group[0] - 1;
    }
  }

  /**
   * The next stretch of at most GROUP frames of one pack that are not here yet.
   * @param {number} from
   * @param {1|-1} direction
   */
  missing(from, direction) {
    let at = from;
    while (this.inside(at) && (this.kept.has(at) || this.coming.has(at))) at += direction;
    if (!this.inside(at)) return null;
    const pack = this.pack(at);
    let end = at;
    const wanted = (/** @type {number} */ frame) =>
      pack.first <= frame && frame <= pack.last && !this.kept.has(frame) && !this.coming.has(frame);
    while (Math.abs(end + direction - at) < GROUP && wanted(end + direction)) end += direction;
    return direction > 0 ? [at, end] : [end, at];
  }

  /** @param {number} frame */
  inside(frame) {
    return this.index.packs.some((pack) => pack.first <= frame && frame <= pack.last);
  }

  /**
   * Fetch frames first..last of one pack with one range; resolves to the bytes of the first.
   * @param {number} first
   * @param {number} last
   * @param {AbortSignal} [signal]
   */
  async load(first, last, signal) {
    const pack = this.pack(first);
    const [from, to] = [pack.offsets[first - pack.first], pack.offsets[last - pack.first + 1]];
    const body = bytes(this.fetcher, this.folder + pack.file, from, to, signal);
    const still = (/** @type {Uint8Array} */ all, /** @type {number} */ frame) =>
      all.slice(pack.offsets[frame - pack.first] - from, pack.offsets[frame - pack.first + 1] - from);
    for (let frame = first; frame <= last; frame++) {
      const mine = body.then((all) => still(all, frame));
      mine.catch(() => {});
      this.coming.set(frame, mine);
    }
    try {
      const all = await body;
      for (let frame = first; frame <= last; frame++) this.keep(frame, still(all, frame));
      return still(all, first);
    } finally {
      for (let frame = first; frame <= last; frame++) this.coming.delete(frame);
    }
  }

  /**
   * @param {number} frame
   * @param {Uint8Array} jpeg
   */
  keep(frame, jpeg) {
    if (this.kept.has(frame)) return;
    this.kept.set(frame, jpeg);
    this.weight += jpeg.length;
    for (const [old, body] of this.kept) {
      if (this.weight <= this.room || old === frame) break;
      this.kept.delete(old);
      this.weight -= body.length;
    }
  }

  /**
   * @param {number} frame
   * @param {Uint8Array} jpeg
   */
  touched(frame, jpeg) {
    this.kept.delete(frame);
    this.kept.set(frame, jpeg);
    return jpeg;
  }
}

/**
 * The decoded still.
 * @param {Uint8Array} jpeg
 * @returns {Promise<ImageBitmap>}
 */
export const decoded = (jpeg) => createImageBitmap(new Blob([/** @type {BlobPart} */ (jpeg)], { type: "image/jpeg" }));

// @ts-check
/**
 * The frames of a clip, each by its index. Stills are the base; where the browser can decode the review copy, that
 * brings the neighbours with less weight. Both know a picture by its index alone, and any trouble with the copy ends in
 * stills.
 */
import { Bitmaps } from "./bitmaps.js";
import { run } from "./samples.js";
import { decoded, Stills } from "./stills.js";
import { Codec } from "./webcodecs.js";

/**
 * @typedef {"stills"|"copy"|"both"} Source  "stills" and "copy" use one source alone, for tests and for finding faults
 */

const ROOM = 36; // 720p pictures of 3.7 MB
const MOST_FAULTS = 3;
const DECODED_MS = 3000; // a run that is fetched and decoded takes a tenth of it

export class Frames {
  /**
   * @param {Stills} stills
   * @param {Codec|null} codec
   * @param {Source} source
   * @param {number[]} times  true time of each frame, in seconds
   * @param {boolean} hasSound  whether the clip's sound lies beside its frames
   */
  constructor(stills, codec, source, times, hasSound = false) {
    this.stills = stills;
    this.codec = codec;
    this.source = source;
    this.times = times;
    this.hasSound = hasSound;
    /** @type {Bitmaps<ImageBitmap>} */
    this.bitmaps = new Bitmaps(ROOM);
    this.faults = 0;
    /** @type {Map<number, Promise<void>>} by the run's first frame */
    this.decoding = new Map();
    /** @type {AbortController|null} */
    this.ahead = null;
    this.newest = -1;
    this.isClosed = false;
  }

  /**
   * @param {string} folder
   * @param {Source} [source]
   * @param {typeof fetch} [fetcher]
   * @param {import("./types.js").Tables|null} [tables]  where they came with the page, they are not asked for
   */
  static async open(folder, source = "both", fetcher = (...given) => fetch(...given), tables = null) {
    const [stills, table] = tables
      ? [new Stills(tables.stills, folder, fetcher), tables.samples]
      : await Promise.all([Stills.open(folder, fetcher), tableOf(folder, fetcher)]);
    const frames = new Frames(stills, null, source, table ? table.time_s : [], table?.sound ?? false);
    const asked = table && source !== "stills" ? Codec.open(table, folder, fetcher) : Promise.resolve(null);
    const taken = asked.then((codec) => frames.takeCodec(codec));
    if (source === "copy") await taken; // stills wait for no decoder: a browser's may never answer
    if (source === "copy" && !frames.codec) throw new Error("This browser cannot decode the review copy.");
    return frames;
  }

  /** @param {Codec|null} codec */
  takeCodec(codec) {
    if (!this.isClosed) this.codec = codec;
  }

  get count() {
    return this.stills.index.packs.reduce((most, pack) => Math.max(most, pack.last + 1), 0);
  }

  /**
   * Seconds into the film; NaN where the table did not come.
   * @param {number} frame
   */
  time(frame) {
    return this.times[frame] ?? NaN;
  }

  /**
   * The picture if it is here already.
   * @param {number} frame
   */
  here(frame) {
    return this.bitmaps.get(frame);
  }

  /**
   * The picture of a frame, and of no other.
   * @param {number} frame
   * @returns {Promise<ImageBitmap>}
   */
  async picture(frame) {
    this.newest = frame;
    const here = this.bitmaps.get(frame);
    if (here) return here;
    if (this.codec && this.source === "copy") return this.fromCopy(frame);
    const coming = this.codec && this.decoding.get(run(this.codec.table, frame)[0]);
    if (coming && !this.stills.has(frame)) {
      await this.inTime(coming);
      const come = this.bitmaps.get(frame);
      if (come) return come;
    }
    return this.bitmaps.put(frame, await decoded(await this.stills.jpeg(frame)));
  }

  /**
   * The run has come, or failed, or takes so long that the still is here sooner.
   * @param {Promise<void>} coming
   */
  async inTime(coming) {
    /** @type {ReturnType<typeof setTimeout>|undefined} */
    let timer;
    const late = new Promise((_done, fail) => (timer = setTimeout(fail, DECODED_MS, "late")));
    await Promise.race([coming, late]).catch(
      (error) => error === "late" && this.countFault(new Error("The decoder does not answer.")),
    );
    clearTimeout(timer);
  }

  /** @param {number} frame */
  async fromCopy(frame) {
    for (let tries = 1; ; tries++) {
      try {
        await this.decodeRun(frame);
        const picture = this.bitmaps.get(frame);
        if (picture) return picture;
      } catch (error) {
        if (tries === 3) throw error; // the run it was to come with may have been dropped; asked for alone it is not
      }
    }
  }

  /**
   * The picture that is shown is not dropped.
   * @param {number} frame
   */
  keep(frame) {
    this.bitmaps.kept = frame;
  }

  /**
   * Bring the neighbours of the shown frame, a moment after it stands. A newer call drops what an older one still waits
   * for.
   * @param {number} frame
   * @param {1|-1} direction
   */
  async comeAhead(frame, direction) {
    if (!this.codec) {
      await this.stills.comeAhead(frame, direction);
      return this.decodeAhead(frame, direction);
    }
    const signal = this.restart();
    const [first, last] = run(this.codec.table, frame);
    for (const at of [frame, direction > 0 ? last + 1 : first - 1]) {
      if (signal.aborted || at < 0 || at >= this.codec.table.samples.length) return;
      try {
        await this.decodeRun(at, signal);
      } catch (error) {
        if (!signal.aborted) this.countFault(error);
        return;
      }
    }
  }

  /** Nobody looks at this film any more: nothing more is fetched, and pictures and decoder are given back. */
  close() {
    this.isClosed = true;
    this.ahead?.abort();
    this.stills.ahead?.abort();
    this.codec?.close();
    this.codec = null;
    this.bitmaps.clear();
  }

  restart() {
    this.ahead?.abort();
    this.ahead = new AbortController();
    return this.ahead.signal;
  }

  /**
   * Decode the next few stills whose bytes are here.
   * @param {number} frame
   * @param {1|-1} direction
   */
  async decodeAhead(frame, direction) {
    const signal = this.restart();
    for (let i = 1; i <= 4 && !signal.aborted; i++) {
      const next = frame + i * direction;
      if (!this.stills.has(next) || this.bitmaps.has(next)) continue;
      this.bitmaps.put(next, await decoded(await this.stills.jpeg(next)));
    }
  }

  /**
   * @param {number} frame
   * @param {AbortSignal} [signal]
   * @returns {Promise<void>}
   */
  decodeRun(frame, signal) {
    const codec = /** @type {Codec} */ (this.codec);
    const [first, last] = run(codec.table, frame);
    const coming = this.decoding.get(first);
    if (coming) return coming.catch((error) => this.anew(error, frame, signal));
    let allHere = true;
    for (let i = first; i <= last; i++) allHere &&= this.bitmaps.has(i);
    if (allHere) return Promise.resolve();
    const mine = codec.pictures(frame, signal).then((pictures) => this.putRun(pictures));
    this.decoding.set(first, mine);
    const done = () => this.decoding.delete(first);
    mine.then(done, done);
    return mine;
  }

  /**
   * The run was dropped by a step that is over: who still wants it asks for it alone. That is no fault of the decoder.
   * @param {unknown} error
   * @param {number} frame
   * @param {AbortSignal} [signal]
   * @returns {Promise<void>}
   */
  anew(error, frame, signal) {
    const isDropped = error instanceof Error && error.name === "AbortError";
    if (!isDropped || !this.codec || signal?.aborted) throw error;
    return this.decodeRun(frame, signal);
  }

  /**
   * The wanted frame is put last, so that it is the last to go.
   * @param {Map<number, ImageBitmap>} pictures
   */
  putRun(pictures) {
    for (const [frame, picture] of pictures) if (frame !== this.newest) this.bitmaps.put(frame, picture);
    const wanted = pictures.get(this.newest);
    if (wanted) this.bitmaps.put(this.newest, wanted);
  }

  /**
   * Some trouble may pass; a decoder that fails again and again is left alone.
   * @param {unknown} error
   */
  countFault(error) {
    this.faults += 1;
    if (this.faults < MOST_FAULTS || this.source === "copy") return;
    console.warn("The review copy is left aside, stills go on alone.", error);
    this.codec?.close();
    this.codec = null;
  }
}

/**
 * @param {string} folder
 * @param {typeof fetch} fetcher
 * @returns {Promise<import("./samples.js").Table|null>}
 */
async function tableOf(folder, fetcher) {
  try {
    const answer = await fetcher(`${folder}review.samples.json`, { credentials: "same-origin" });
    return answer.ok ? await answer.json() : null;
  } catch {
    return null;
  }
}

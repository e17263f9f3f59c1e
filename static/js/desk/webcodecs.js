// @ts-check
/**
 * Pictures of the review copy by frame index, decoded by the browser's own decoder: lighter than stills where it works.
 * Whatever goes wrong here is an error, and the caller falls back to the still of the same index.
 */
import { bytes } from "./ranges.js";
import { frameOf, fromBase64, run, span, stamp } from "./samples.js";

/** @typedef {import("./samples.js").Table} Table */

export class Codec {
  /**
   * @param {Table} table
   * @param {string} folder
   * @param {typeof fetch} [fetcher]
   */
  constructor(table, folder, fetcher = (...given) => fetch(...given)) {
    this.table = table;
    this.folder = folder;
    this.fetcher = fetcher;
    /** @type {VideoDecoder|null} */
    this.decoder = null;
    /** @type {Promise<unknown>} one run at a time goes through the decoder */
    this.turn = Promise.resolve();
    /** @type {((frame: VideoFrame) => void)} */
    this.take = (frame) => frame.close();
    /** @type {(error: Error) => void} */
    this.fail = () => {};
  }

  /**
   * @param {Table} table
   * @returns {VideoDecoderConfig}
   */
  static config(table) {
    return {
      codec: table.codec,
      codedWidth: table.width,
      codedHeight: table.height,
      description: fromBase64(table.description),
      optimizeForLatency: true,
      hardwareAcceleration: "prefer-software", // small pictures, and no driver in the way
    };
  }

  /**
   * A decoder for this copy, or null where the browser has none for it.
   * @param {Table} table
   * @param {string} folder
   * @param {typeof fetch} [fetcher]
   */
  static async open(table, folder, fetcher) {
    if (typeof VideoDecoder === "undefined") return null;
    try {
      const { supported } = await VideoDecoder.isConfigSupported(Codec.config(table));
      return supported ? new Codec(table, folder, fetcher) : null;
    } catch {
      return null;
    }
  }

  /**
   * All pictures of the run that holds a frame, by index.
   * @param {number} frame
   * @param {AbortSignal} [signal]
   * @returns {Promise<Map<number, ImageBitmap>>}
   */
  pictures(frame, signal) {
    const mine = this.turn.then(() => this.decode(frame, signal));
    this.turn = mine.catch(() => {});
    return mine;
  }

  /**
   * @param {number} frame
   * @param {AbortSignal} [signal]
   */
  async decode(frame, signal) {
    signal?.throwIfAborted();
    const [first, last] = run(this.table, frame);
    const [from, to] = span(this.table, first, last);
    const body = await bytes(this.fetcher, `${this.folder}review.mp4`, from, to, signal);
    /** @type {Promise<[number, ImageBitmap]>[]} */
    const pictures = [];
    const broken = new Promise((_done, fail) => (this.fail = fail));
    broken.catch(() => {}); // heard below, or come too late to matter
    this.take = (picture) => pictures.push(bitmapOf(picture));
    try {
      const decoder = this.ready();
      for (let i = first; i <= last; i++) decoder.decode(this.chunk(i, body, from));
      await Promise.race([decoder.flush(), broken]);
      return await whole(pictures, first, last);
    } catch (error) {
      for (const done of await Promise.allSettled(pictures)) if (done.status === "fulfilled") done.value[1].close();
      this.close();
      throw error;
    } finally {
      this.take = (late) => late.close();
    }
  }

  ready() {
    if (!this.decoder || this.decoder.state === "closed") {
      this.decoder = new VideoDecoder({ output: (frame) => this.take(frame), error: (error) => this.fail(error) });
      this.decoder.configure(Codec.config(this.table));
    }
    return this.decoder;
  }

  /**
   * @param {number} i
   * @param {Uint8Array} body
   * @param {number} from
   */
  chunk(i, body, from) {
    const [offset, size, key] = this.table.samples[i];
    return new EncodedVideoChunk({
      type: key ? "key" : "delta",
      timestamp: stamp(i),
      data: body.subarray(offset - from, offset - from + size),
    });
  }

  close() {
    if (this.decoder && this.decoder.state !== "closed") this.decoder.close();
    this.decoder = null;
  }
}

/**
 * The picture with its index, read off its own timestamp; the decoder's frame is given back at once.
 * @param {VideoFrame} picture
 * @returns {Promise<[number, ImageBitmap]>}
 */
async function bitmapOf(picture) {
  try {
    return [frameOf(picture.timestamp), await createImageBitmap(picture)];
  } finally {
    picture.close();
  }
}

/**
 * @param {Promise<[number, ImageBitmap]>[]} pictures
 * @param {number} first
 * @param {number} last
 */
async function whole(pictures, first, last) {
  const found = new Map(await Promise.all(pictures));
  for (let i = first; i <= last; i++) if (!found.has(i)) throw new Error(`The decoder gave no picture of frame ${i}.`);
  if (found.size !== last - first + 1)
    throw new Error(`The decoder gave ${found.size} pictures for ${last - first + 1} frames.`);
  return found;
}

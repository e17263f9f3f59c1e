// @ts-check
/**
 * The review copy's sample table, apart from any decoder: which bytes hold which frame, and which run of samples a
 * frame is decoded with. Frame f is sample f; there are no B-frames, so samples lie in the order of frames.
 * @typedef {[number, number, 0|1]} Sample  offset, size, whether it is a key frame
 * @typedef {{schema: number, width: number, height: number, frames: number, codec: string, description: string, time_s:
 * number[], samples: Sample[], sound?: boolean}} Table  sound: whether there is a file of it
 */

/**
 * A timestamp that no rounding touches: whole microseconds by index, not by time.
 * @param {number} frame
 */
export const stamp = (frame) => frame * 1000;

/** @param {number} timestamp */
export const frameOf = (timestamp) => timestamp / 1000;

/**
 * The run of samples from the key frame before a frame to the one before the next key frame, both inclusive.
 * @param {Table} table
 * @param {number} frame
 * @returns {[number, number]}
 */
export function run(table, frame) {
  if (!Number.isInteger(frame) || frame < 0 || frame >= table.samples.length)
    throw new RangeError(`The copy has no frame ${frame}.`);
  let first = frame;
  while (first > 0 && !table.samples[first][2]) first--;
  let last = frame;
  while (last + 1 < table.samples.length && !table.samples[last + 1][2]) last++;
  return [first, last];
}

/**
 * The bytes that hold a run, one past the end.
 * @param {Table} table
 * @param {number} first
 * @param {number} last
 * @returns {[number, number]}
 */
export function span(table, first, last) {
  let [from, to] = [Infinity, 0];
  for (let i = first; i <= last; i++) {
    const [offset, size] = table.samples[i];
    from = Math.min(from, offset);
    to = Math.max(to, offset + size);
  }
  return [from, to];
}

/**
 * @param {string} base64
 * @returns {Uint8Array}
 */
export function fromBase64(base64) {
  const text = atob(base64);
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}

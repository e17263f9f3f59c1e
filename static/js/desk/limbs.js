// @ts-check
/** The body as lines between MediaPipe's keypoints, apart from any page. Left and right are drawn alike: cameras mix them up. */

/** Pairs of keypoints that a line joins. @type {readonly (readonly [number, number])[]} */
export const LIMBS = [
  [11, 12], [11, 13], [13, 15], [12, 14], [14, 16], [11, 23], [12, 24], [23, 24],
  [23, 25], [25, 27], [24, 26], [26, 28], [27, 29], [29, 31], [27, 31], [28, 30], [30, 32], [28, 32],
];

/** Keypoints that a coach can move: those that readings are made from. */
export const MOVABLE = [0, 7, 8, 11, 12, 13, 14, 15, 16, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32];

/**
 * The part of the picture around the hitter, in a given proportion, for a small still.
 * @param {readonly [number, number, number, number]|null} box  x0, y0, x1, y1; null for the whole picture
 * @param {{width: number, height: number}} clip
 * @param {number} proportion  width over height
 * @returns {{x: number, y: number, width: number, height: number}}
 */
export function around(box, clip, proportion) {
  const [x0, y0, x1, y1] = box ?? [0, 0, clip.width, clip.height];
  const height = Math.min(clip.height, Math.max((y1 - y0) * 1.15, ((x1 - x0) * 1.1) / proportion, clip.height / 8), clip.width / proportion);
  const width = height * proportion;
  const inside = (/** @type {number} */ at, /** @type {number} */ size, /** @type {number} */ room) => Math.max(0, Math.min(at - size / 2, room - size));
  return { x: inside((x0 + x1) / 2, width, clip.width), y: inside((y0 + y1) / 2, height, clip.height), width, height };
}

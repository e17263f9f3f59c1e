// @ts-check
/** Which of MediaPipe's keypoints a hand can take, and the part of a picture around a hitter, apart from any page. */

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
  const height = Math.min(
    clip.height,
    Math.max((y1 - y0) * 1.15, ((x1 - x0) * 1.1) / proportion, clip.height / 8),
    clip.width / proportion,
  );
  const width = height * proportion;
  const inside = (/** @type {number} */ at, /** @type {number} */ size, /** @type {number} */ room) =>
    Math.max(0, Math.min(at - size / 2, room - size));
  return { x: inside((x0 + x1) / 2, width, clip.width), y: inside((y0 + y1) / 2, height, clip.height), width, height };
}

// @ts-check
/**
 * A camera that moves, apart from any page: points of one frame in the pixels of the clip's reference frame, and back.
 * A homography is nine numbers, row by row: reference ~ H · (x, y, 1).
 * @typedef {import("./types.js").Point} Point
 * @typedef {readonly number[]} Homography
 */

/** A still camera's. @type {Homography} */
export const STILL = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/**
 * A point of the frame in reference pixels.
 * @param {Homography} h
 * @param {Point} point
 * @returns {Point}
 */
export function toReference(h, [x, y]) {
  const depth = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / depth, (h[3] * x + h[4] * y + h[5]) / depth];
}

/**
 * A point in reference pixels where this frame shows it.
 * @param {Homography} h
 * @param {Point} point
 * @returns {Point}
 */
export const fromReference = (h, point) => toReference(turned(h), point);

/**
 * The way back, up to scale: the adjugate.
 * @param {Homography} h
 * @returns {Homography}
 */
export function turned([a, b, c, d, e, f, g, h, i]) {
  return [
    e * i - f * h,
    c * h - b * i,
    b * f - c * e,
    f * g - d * i,
    a * i - c * g,
    c * d - a * f,
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ];
}

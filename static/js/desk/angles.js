// @ts-check
/**
 * How an angle mark is told: never by more than 90°, so that a knee shows its bend, as every number that reaches a
 * family. Up to a right angle it is the opening between its two arms. Beyond, it is what is missing to a straight line:
 * the first arm is drawn on past the corner, and the number tells the angle between that and the second arm
 * (portal/evaluations/angles.py is its twin).
 * @typedef {import("./types.js").Point} Point
 * @typedef {{size: number, on: Point|null, toward: Point}} AngleMark  on: where the first arm is drawn on to, or the
 * thin arm
 * along an axis; toward: the direction, of length 1 to 1.42, in which the number stands from the corner
 */
import { angle, distance } from "./geometry.js";

/**
 * @param {Point} end
 * @param {Point} corner
 * @param {Point} other
 * @param {number} goesOn  how far the first arm is drawn on, in lengths of the second
 * @returns {AngleMark|null} null where an arm has no length
 */
export function angleMark(end, corner, other, goesOn) {
  const inner = angle(end, corner, other);
  if (Number.isNaN(inner)) return null;
  let a = unit(corner, end);
  const b = unit(corner, other);
  /** @type {Point|null} */
  let on = null;
  if (inner > 90) {
    a = [-a[0], -a[1]];
    const reach = goesOn * distance(other, corner);
    on = [corner[0] + reach * a[0], corner[1] + reach * a[1]];
  }
  const size = Math.min(inner, 180 - inner);
  return { size, on, toward: toward(a, b, size) };
}

/**
 * A line from its corner against the picture's vertical or horizontal: the smaller angle.
 * @param {Point} corner
 * @param {Point} end
 * @param {"upright"|"level"} axis
 * @returns {(AngleMark & {on: Point})|null} null where the line has no length
 */
export function axisMark(corner, end, axis) {
  const far = distance(corner, end);
  if (!far) return null;
  const line = unit(corner, end);
  const along = /** @type {Point} */ (axis === "upright" ? [0, line[1] <= 0 ? -1 : 1] : [line[0] >= 0 ? 1 : -1, 0]);
  const size = angle(end, corner, [corner[0] + along[0], corner[1] + along[1]]);
  return { size, on: [corner[0] + far * along[0], corner[1] + far * along[1]], toward: toward(along, line, size) };
}

/**
 * A line on the ground and the thin arm that it is told against, with degrees that the picture does not show.
 * @param {Point} corner
 * @param {Point} end
 * @param {Point} on
 * @param {number} degrees
 * @returns {(AngleMark & {on: Point})|null} null where an arm has no length
 */
export function groundMark(corner, end, on, degrees) {
  if (!distance(corner, end) || !distance(corner, on)) return null;
  return { size: degrees, on, toward: toward(unit(corner, on), unit(corner, end), angle(end, corner, on)) };
}

/**
 * Square to the middle of both arms, on the side of `a`: there no arm is in the way of the number.
 * @param {Point} a
 * @param {Point} b
 * @param {number} size
 * @returns {Point}
 */
function toward(a, b, size) {
  const middle = [a[0] + b[0], a[1] + b[1]];
  const far = Math.hypot(middle[0], middle[1]);
  let aside = [-middle[1] / far, middle[0] / far];
  if ((aside[0] * a[0] + aside[1] * a[1] || aside[0]) < 0) aside = [-aside[0], -aside[1]];
  const out = 1 / Math.cos((size * Math.PI) / 360);
  return [out * aside[0], out * aside[1]];
}

/**
 * @param {Point} start
 * @param {Point} end
 * @returns {Point}
 */
function unit(start, end) {
  const far = distance(start, end);
  return [(end[0] - start[0]) / far, (end[1] - start[1]) / far];
}

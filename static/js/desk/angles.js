// @ts-check
/**
 * How an angle mark is told: never by more than 90°, so that a knee shows its bend, as every number that reaches a family.
 * Up to a right angle it is the opening between its two arms. Beyond, it is what is missing to a straight line: the first arm
 * is drawn on past the corner, and the number stands between that and the second arm (portal/evaluations/angles.py is its twin).
 * @typedef {import("./types.js").Point} Point
 * @typedef {{size: number, on: Point|null, toward: Point}} AngleMark  on: where the first arm is drawn on to; toward: the
 *   direction, of length 1 to 2.2, in which the number stands from the corner
 */
import { angle, distance } from "./geometry.js";

const GOES_ON = 0.6;
const NARROW = 0.5;

/** @param {Point} end @param {Point} corner @param {Point} other @returns {AngleMark|null} null where an arm has no length */
export function angleMark(end, corner, other) {
  const inner = angle(end, corner, other);
  if (Number.isNaN(inner)) return null;
  let [a, b] = [unit(corner, end), unit(corner, other)];
  /** @type {Point|null} */
  let on = null;
  if (inner > 90) {
    a = [-a[0], -a[1]];
    const reach = GOES_ON * distance(other, corner);
    on = [corner[0] + reach * a[0], corner[1] + reach * a[1]];
  }
  const size = Math.min(inner, 180 - inner);
  const between = [a[0] + b[0], a[1] + b[1]];
  const far = Math.hypot(...between);
  const out = Math.min(2.2, Math.max(1, NARROW / (Math.sin((size * Math.PI) / 360) || NARROW / 2)));
  return { size, on, toward: [(out * between[0]) / far, (out * between[1]) / far] };
}

/** @param {Point} start @param {Point} end @returns {Point} */
function unit(start, end) {
  const far = distance(start, end);
  return [(end[0] - start[0]) / far, (end[1] - start[1]) / far];
}

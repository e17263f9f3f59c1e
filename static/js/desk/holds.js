// @ts-check
/**
 * What of a body can be taken hold of: the keypoints that readings are made from, and both ends of the bat.
 * @typedef {import("./types.js").Point} Point
 * @typedef {{kind: "keypoint", keypoint: number, at: Point}|{kind: "bat", end: 0|1, at: Point}} Held
 */
import { distance } from "./geometry.js";
import { MOVABLE } from "./limbs.js";

/** @param {import("./body.js").Body|null} body @returns {Held[]} */
export function holdsOf(body) {
  /** @type {Held[]} */
  const holds = [];
  for (const keypoint of MOVABLE) {
    const point = body?.points?.[keypoint];
    if (point) holds.push({ kind: "keypoint", keypoint, at: [point[0], point[1]] });
  }
  body?.bat?.forEach((end, i) => holds.push({ kind: "bat", end: /** @type {0|1} */ (i), at: end }));
  return holds;
}

/** The nearest to a point within `reach`, or null. @param {Held[]} holds @param {Point} at @param {number} reach */
export function nearest(holds, at, reach) {
  const [first] = holds.slice().sort((a, b) => distance(a.at, at) - distance(b.at, at));
  return first && distance(first.at, at) <= reach ? first : null;
}

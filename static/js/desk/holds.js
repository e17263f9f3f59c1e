// @ts-check
/**
 * What of a body can be taken hold of: the keypoints that readings are made from, and both ends of the bat.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./body.js").Body} Body
 * @typedef {{kind: "keypoint", keypoint: number, at: Point}|{kind: "bat", end: 0|1, at: Point, other: Point}} Held  end
 * 0 is the knob, 1 the barrel
 */
import { distance } from "./geometry.js";
import { MOVABLE } from "./limbs.js";

/**
 * @param {Body|null} body
 * @returns {Held[]}
 */
export function holdsOf(body) {
  /** @type {Held[]} */
  const holds = [];
  for (const keypoint of MOVABLE) {
    const point = body?.points?.[keypoint];
    if (point) holds.push({ kind: "keypoint", keypoint, at: [point[0], point[1]] });
  }
  if (body?.bat) {
    const [knob, barrel] = body.bat;
    holds.push({ kind: "bat", end: 0, at: knob, other: barrel }, { kind: "bat", end: 1, at: barrel, other: knob });
  }
  return holds;
}

/**
 * What the list of points calls a hold: a keypoint's number, or the bat's end.
 * @param {Held} hold
 */
export const keyOf = (hold) => (hold.kind === "bat" ? ["knob", "barrel"][hold.end] : String(hold.keypoint));

/** @param {string} key */
export const isBatEnd = (key) => key === "knob" || key === "barrel";

/**
 * Knob and barrel of a held bat.
 * @param {Extract<Held, {kind: "bat"}>} held
 * @returns {[Point, Point]}
 */
export const batOf = ({ end, at, other }) => (end === 0 ? [at, other] : [other, at]);

/**
 * The body with the held point where the hand has it.
 * @param {Body|null} body
 * @param {Held|null} held
 * @returns {Body|null}
 */
export function heldBody(body, held) {
  if (!held || !body) return body;
  if (held.kind === "bat") return { ...body, bat: batOf(held) };
  const points = body.points?.slice() ?? Array(33).fill(null);
  points[held.keypoint] = [...held.at, 1];
  return { ...body, points };
}

/**
 * The nearest to a point within `reach`, or null.
 * @param {Held[]} holds
 * @param {Point} at
 * @param {number} reach
 */
export function nearest(holds, at, reach) {
  const [first] = holds.slice().sort((a, b) => distance(a.at, at) - distance(b.at, at));
  return first && distance(first.at, at) <= reach ? first : null;
}

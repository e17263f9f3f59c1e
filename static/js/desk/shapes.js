// @ts-check
/**
 * Shapes on a frame, apart from any page: how they grow while drawn, where they are hit, how they move.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {import("./types.js").Kind} Kind
 * @typedef {import("./types.js").Tone} Tone
 */
import { distance, distanceToLine, simplified } from "./geometry.js";
import { isOnGround } from "./ground.js";
import { wrapped } from "./parts.js";

/** How many points a kind is drawn with; the second and later ones follow the pointer. @type {Record<Kind, number>} */
export const POINTS = {
  line: 2,
  arrow: 2,
  angle: 3,
  upright: 2,
  level: 2,
  ground_line: 2,
  ground_edge: 2,
  ghost: 2,
  ring: 2,
  free: Infinity,
  words: 1,
};
const MOST_FREE_POINTS = 400;

/**
 * @param {Kind} kind
 * @param {Tone} tone
 * @param {Point} at
 * @returns {Shape}
 */
export function begun(kind, tone, at) {
  return { kind, tone, points: POINTS[kind] === 1 ? [at] : [at, at] };
}

/**
 * The shape with its last point at `at` (a free stroke grows by it).
 * @param {Shape} shape
 * @param {Point} at
 * @returns {Shape}
 */
export function drawnTo(shape, at) {
  const kept = shape.kind === "free" ? shape.points : drawn(shape).slice(0, -1);
  return { ...shape, points: [...kept, at] };
}

/**
 * What a hand draws of a shape: the thin arm of an angle on the ground follows.
 * @param {Shape} shape
 */
const drawn = ({ kind, points }) => (isOnGround(kind) ? points.slice(0, 2) : points);

/**
 * An angle is drawn in two strokes: end to corner, corner to the other end.
 * @param {Shape} shape
 */
export const needsMore = (shape) => shape.kind === "angle" && shape.points.length < 3;

/**
 * The second stroke of an angle begins at its corner.
 * @param {Shape} shape
 * @param {Point} at
 * @returns {Shape}
 */
export const goneOn = (shape, at) => ({ ...shape, points: [...shape.points, at] });

/**
 * The shape as it is kept, or null when it is too small to be meant. `reach` is the least length in clip pixels.
 * @param {Shape} shape
 * @param {number} reach
 * @returns {Shape|null}
 */
export function finished(shape, reach) {
  const round = (/** @type {Point} */ [x, y]) =>
    /** @type {Point} */ ([Math.round(x * 10) / 10, Math.round(y * 10) / 10]);
  if (shape.kind === "words") return shape.text ? { ...shape, points: shape.points.map(round) } : null;
  let points = shape.points;
  if (shape.kind === "free") {
    points = simplified(points, reach / 8);
    for (let coarser = 2; points.length > MOST_FREE_POINTS; coarser *= 2)
      points = simplified(points, (reach / 8) * coarser);
  }
  const longest = Math.max(...points.map((point) => distance(point, points[0])));
  return longest < reach ? null : { ...shape, points: points.map(round) };
}

/**
 * How far a point lies from what is drawn of the shape, in clip pixels. `letters` is the size of a letter there.
 * @param {Shape} shape
 * @param {Point} at
 * @param {number} letters
 * @param {number} [most]  letters of a line of words
 */
export function away(shape, at, letters, most = Infinity) {
  const [first, second] = shape.points;
  if (shape.kind === "ring") return Math.abs(distance(at, first) - distance(first, second));
  if (shape.kind !== "words") return distanceToLine(at, drawn(shape));
  const lines = wrapped(shape.text ?? "", most);
  const width = Math.max(0, ...lines.map((line) => line.length)) * letters * 0.55;
  const dx = Math.max(first[0] - at[0], 0, at[0] - first[0] - width);
  const dy = Math.max(first[1] - letters - at[1], 0, at[1] - first[1] - (lines.length - 1) * letters * 1.15);
  return Math.hypot(dx, dy);
}

/**
 * Which shape lies under a point: the nearest within `reach`, the newest of equals; -1 for none.
 * @param {Shape[]} shapes
 * @param {Point} at
 * @param {number} reach
 * @param {number} letters
 * @param {number} [most]
 */
export function hit(shapes, at, reach, letters, most) {
  let [best, least] = [-1, reach];
  shapes.forEach((shape, i) => {
    const far = away(shape, at, letters, most);
    if (far <= least) [best, least] = [i, far];
  });
  return best;
}

/**
 * Which corner of a shape lies under a point, or -1.
 * @param {Shape} shape
 * @param {Point} at
 * @param {number} reach
 */
export function corner(shape, at, reach) {
  if (shape.kind === "free" || shape.kind === "words") return -1;
  return drawn(shape).findIndex((point) => distance(point, at) <= reach);
}

/**
 * @param {Shape} shape
 * @param {Point} by
 * @returns {Shape}
 */
export const shifted = (shape, [dx, dy]) => ({ ...shape, points: shape.points.map(([x, y]) => [x + dx, y + dy]) });

/**
 * A wanted position whose joint was dragged stands for what the coach wants, and no longer for the number beside it.
 * @param {Shape} shape
 * @param {number} which
 * @param {Point} to
 * @returns {Shape}
 */
export const withCorner = (shape, which, to) => ({
  ...shape,
  ...(shape.kind === "ghost" && shape.text ? { text: shape.text.split(":")[0] } : {}),
  points: shape.points.map((point, i) => (i === which ? to : point)),
});

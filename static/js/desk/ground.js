// @ts-check
/**
 * Angles on the ground, apart from any page: a line that lies there is told against the line to the pitcher
 * ("ground_line") or against the plate's front edge ("ground_edge", as the front foot's opening is). The mark keeps its
 * degrees and where its thin arm ends, so that the evaluation shows what the coach saw.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {{to: (point: Point) => Point, from: (point: Point) => Point}} Plane  picture to inches on the ground, and
 * back
 */
import { fromReference, toReference } from "./camera.js";
import { distance } from "./geometry.js";

/** @param {string} kind */
export const isOnGround = (kind) => kind === "ground_line" || kind === "ground_edge";

/**
 * @param {import("./camera.js").Homography|null} ground  reference pixels to the ground; null without a plate
 * @param {import("./camera.js").Homography|null} camera  of the frame
 * @returns {Plane|null}
 */
export function planeOf(ground, camera) {
  if (!ground || !camera) return null;
  return {
    to: (point) => toReference(ground, toReference(camera, point)),
    from: (point) => fromReference(camera, fromReference(ground, point)),
  };
}

/**
 * The mark with its thin arm and its degrees, 0 to 90; other shapes, and marks without a length, as they are.
 * @param {Shape} shape
 * @param {Plane|null} plane
 * @returns {Shape}
 */
export function onGround(shape, plane) {
  if (!isOnGround(shape.kind) || !plane) return shape;
  const [corner, end] = shape.points;
  const [from, to] = [plane.to(corner), plane.to(end)];
  const [ahead, aside] = [to[0] - from[0], to[1] - from[1]];
  const long = Math.hypot(ahead, aside);
  if (!long || !Number.isFinite(long)) return { ...shape, points: [corner, end] };
  const along = shape.kind === "ground_line";
  const share = Math.min(Math.abs(along ? ahead : aside) / long, 1);
  const degrees = Math.round((Math.acos(share) * 1800) / Math.PI) / 10;
  const sign = (along ? ahead : aside) < 0 ? -1 : 1;
  return {
    ...shape,
    points: [corner, end, arm(plane, corner, from, along ? [sign * long, 0] : [0, sign * long], distance(corner, end))],
    degrees,
  };
}

/**
 * Where the thin arm ends: as long on the ground as the line, or shorter where the picture would stretch it.
 * @param {Plane} plane
 * @param {Point} corner
 * @param {Point} from
 * @param {Point} by
 * @param {number} seen
 * @returns {Point}
 */
function arm(plane, corner, from, [x, y], seen) {
  const at = (/** @type {number} */ k) => plane.from([from[0] + k * x, from[1] + k * y]);
  let share = 1;
  while (share > 0.05 && !(distance(at(share), corner) <= 2 * seen)) share /= 1.5;
  const [px, py] = at(share);
  return [Math.round(px * 10) / 10, Math.round(py * 10) / 10];
}

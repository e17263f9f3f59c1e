// @ts-check
/**
 * Plain geometry of the desk, apart from any page: where the clip lies in the viewport, distances, angles.
 * Clip pixels and viewport pixels are both x right, y down; viewport pixels are CSS pixels.
 * @typedef {import("./types.js").Point} Point
 * @typedef {{width: number, height: number}} Size
 * @typedef {{scale: number, x: number, y: number}} View  viewport = clip × scale + (x, y)
 */

/** How many times larger than the whole clip a view can be. */
export const MOST = 8;

/**
 * The view that shows the whole clip, as large as it fits, in the middle.
 * @param {Size} clip
 * @param {Size} viewport
 * @returns {View}
 */
export function fit(clip, viewport) {
  for (const [what, size] of Object.entries({ clip, viewport })) {
    if (!(size.width > 0 && size.height > 0))
      throw new RangeError(`The ${what} needs a width and a height, got ${size.width} × ${size.height}.`);
  }
  const scale = Math.min(viewport.width / clip.width, viewport.height / clip.height);
  return { scale, x: (viewport.width - clip.width * scale) / 2, y: (viewport.height - clip.height * scale) / 2 };
}

/**
 * The view in which a part of the clip fills the viewport, in the middle as far as the clip's edges let it.
 * @param {readonly [number, number, number, number]} box  x0, y0, x1, y1 in clip pixels
 * @param {Size} clip
 * @param {Size} viewport
 * @returns {View}
 */
export function filling([x0, y0, x1, y1], clip, viewport) {
  const { scale } = fit({ width: x1 - x0, height: y1 - y0 }, viewport);
  return kept(
    { scale, x: viewport.width / 2 - (scale * (x0 + x1)) / 2, y: viewport.height / 2 - (scale * (y0 + y1)) / 2 },
    clip,
    viewport,
  );
}

/**
 * @param {View} view
 * @param {Point} point
 * @returns {Point}
 */
export const toViewport = (view, [x, y]) => [x * view.scale + view.x, y * view.scale + view.y];

/**
 * @param {View} view
 * @param {Point} point
 * @returns {Point}
 */
export const toClip = (view, [x, y]) => [(x - view.x) / view.scale, (y - view.y) / view.scale];

/**
 * The view `factor` times larger, with the clip's point under `at` (viewport pixels) staying where it is.
 * @param {View} view
 * @param {number} factor
 * @param {Point} at
 * @returns {View}
 */
export function zoomed(view, factor, at) {
  const scale = view.scale * factor;
  const [x, y] = toClip(view, at);
  return { scale, x: at[0] - x * scale, y: at[1] - y * scale };
}

/**
 * @param {View} view
 * @param {Point} by  viewport pixels
 * @returns {View}
 */
export const moved = (view, [x, y]) => ({ scale: view.scale, x: view.x + x, y: view.y + y });

/**
 * The view no smaller than the whole clip, at most `most` times larger, and with no empty edge that need not be.
 * @param {View} view
 * @param {Size} clip
 * @param {Size} viewport
 * @param {number} [most]
 * @returns {View}
 */
export function kept(view, clip, viewport, most = MOST) {
  const whole = fit(clip, viewport);
  const scale = Math.min(Math.max(view.scale, whole.scale), whole.scale * most);
  const along = (/** @type {number} */ at, /** @type {number} */ length, /** @type {number} */ room) =>
    length * scale <= room ? (room - length * scale) / 2 : Math.min(0, Math.max(room - length * scale, at));
  return { scale, x: along(view.x, clip.width, viewport.width), y: along(view.y, clip.height, viewport.height) };
}

/**
 * @param {Point} a
 * @param {Point} b
 */
export const distance = ([ax, ay], [bx, by]) => Math.hypot(bx - ax, by - ay);

/**
 * From a point to a stretch between two ends (not the endless line).
 * @param {Point} point
 * @param {Point} a
 * @param {Point} b
 */
export function distanceToSegment(point, a, b) {
  const length = distance(a, b);
  if (length === 0) return distance(point, a);
  const along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / (length * length);
  const t = Math.min(1, Math.max(0, along));
  return distance(point, [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
}

/**
 * @param {Point} point
 * @param {Point[]} line  two points or more
 */
export function distanceToLine(point, line) {
  let least = Infinity;
  for (let i = 1; i < line.length; i++) least = Math.min(least, distanceToSegment(point, line[i - 1], line[i]));
  return least;
}

/**
 * The angle at `corner` between the two arms, in degrees from 0 to 180; NaN when an arm has no length.
 * @param {Point} end
 * @param {Point} corner
 * @param {Point} other
 */
export function angle(end, corner, other) {
  const [ax, ay, bx, by] = [end[0] - corner[0], end[1] - corner[1], other[0] - corner[0], other[1] - corner[1]];
  if (Math.hypot(ax, ay) === 0 || Math.hypot(bx, by) === 0) return NaN;
  return (Math.atan2(Math.abs(ax * by - ay * bx), ax * bx + ay * by) * 180) / Math.PI;
}

/**
 * Fewer points for a stroke: none kept lies farther than `tolerance` from what is left out
 * (Ramer 1972, Douglas and Peucker 1973). Both ends stay.
 * @param {Point[]} line
 * @param {number} tolerance
 * @returns {Point[]}
 */
export function simplified(line, tolerance) {
  if (line.length < 3) return line.slice();
  let farthest = 0;
  let at = 0;
  for (let i = 1; i < line.length - 1; i++) {
    const away = distanceToSegment(line[i], line[0], line[line.length - 1]);
    if (away > farthest) [farthest, at] = [away, i];
  }
  if (farthest <= tolerance) return [line[0], line[line.length - 1]];
  return [...simplified(line.slice(0, at + 1), tolerance).slice(0, -1), ...simplified(line.slice(at), tolerance)];
}

// @ts-check
/**
 * Two films in step, apart from any page: which frames go together, and how one lies over the other.
 * @typedef {import("./types.js").Point} Point
 */

/**
 * The frames of two swings that are as far from the same instant: counted in frames of the first, told in time as it
 * was lived.
 * @param {{instants: Record<string, number|null>, speed: number, count: number, time: (frame: number) => number}[]}
 * sides
 * @param {string} instant
 * @param {number} offset  frames of the first film
 * @returns {[number, number]|null} null where one of them does not know the instant
 */
export function inStep([one, other], instant, offset) {
  const [from, to] = [one.instants[instant] ?? null, other.instants[instant] ?? null];
  if (from === null || to === null) return null;
  const frame = Math.max(0, Math.min(one.count - 1, from + offset));
  const lived = (one.time(frame) - one.time(from)) / one.speed;
  if (!Number.isFinite(lived)) return [frame, Math.max(0, Math.min(other.count - 1, to + frame - from))];
  const wanted = other.time(to) + lived * other.speed;
  let [best, least] = [to, Infinity];
  for (let at = 0; at < other.count; at++) {
    const far = Math.abs(other.time(at) - wanted);
    if (far < least) [best, least] = [at, far];
  }
  return [frame, best];
}

/**
 * From the other's pixels to this one's: hips on hips, as tall as this hitter. Null where either was not seen.
 * @param {{points: (number[]|null)[]|null, box: [number, number, number, number]|null}|null} here
 * @param {{points: (number[]|null)[]|null, box: [number, number, number, number]|null}|null} there
 * @param {boolean} isMirrored
 * @returns {{scale: number, x: number, y: number, turn: 1|-1}|null}  this = (turn · scale · x + x0, scale · y + y0)
 */
export function matched(here, there, isMirrored) {
  const [a, b] = [here, there].map((body) => hips(body?.points ?? null));
  if (!a || !b || !here?.box || !there?.box) return null;
  const scale = (here.box[3] - here.box[1]) / (there.box[3] - there.box[1]);
  const turn = isMirrored ? -1 : 1;
  return { scale, turn, x: a[0] - turn * scale * b[0], y: a[1] - scale * b[1] };
}

/**
 * @param {(number[]|null)[]|null} points
 * @returns {Point|null}
 */
function hips(points) {
  const [left, right] = [points?.[23], points?.[24]];
  return left && right ? [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2] : null;
}

/**
 * The other film's picture over this one's, half through.
 * @param {CanvasRenderingContext2D} ink
 * @param {import("./geometry.js").View} view
 * @param {{viewport: import("./viewport.js").Viewport, body: import("./body.js").Body|null}[]} films
 * @param {boolean} isMirrored
 */
export function laidOver(ink, view, [one, other], isMirrored) {
  const lie = matched(one.body, other.body, isMirrored);
  if (!lie || !other.viewport.picture) return;
  ink.save();
  ink.globalAlpha = 0.5;
  ink.translate(view.x + view.scale * lie.x, view.y + view.scale * lie.y);
  ink.scale(lie.turn * lie.scale * view.scale, lie.scale * view.scale);
  ink.drawImage(other.viewport.picture, 0, 0, other.viewport.clip.width, other.viewport.clip.height);
  ink.restore();
}

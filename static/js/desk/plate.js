// @ts-check
/**
 * Home plate under the pointer: five corners marked one after the other around it, then dragged. Corners are kept in
 * reference pixels, so that they stay on the plate when the camera moves.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./viewport.js").Viewport} Viewport
 * @typedef {import("./body.js").Bodies} Bodies
 */
import { fromReference, toReference } from "./camera.js";
import { distance, toViewport } from "./geometry.js";

export const CORNERS = 5;
// a plate as it is seen from the side, in widths of the hitter's box from the feet
const BESIDE = /** @type {Point[]} */ ([
  [-0.4, 0],
  [-0.1, -0.12],
  [0.4, -0.12],
  [0.35, 0.12],
  [-0.15, 0.12],
]);
const round = (/** @type {Point} */ [x, y]) =>
  /** @type {Point} */ ([Math.round(x * 10) / 10, Math.round(y * 10) / 10]);

export class Plate extends EventTarget {
  /**
   * @param {Viewport} viewport
   * @param {Bodies} bodies
   */
  constructor(viewport, bodies) {
    super();
    this.viewport = viewport;
    this.bodies = bodies;
    /** @type {Point[]} corners marked so far, in reference pixels */
    this.growing = [];
    /** @type {{corner: number, at: Point}|null} in pixels of the shown frame */
    this.held = null;
  }

  /**
   * The corners in use.
   * @returns {Point[]|null}
   */
  get placed() {
    return this.bodies.corrections.plate ?? null;
  }

  /**
   * All corners where the shown frame shows them, a held one at the pointer.
   * @returns {Point[]}
   */
  shown() {
    const camera = this.bodies.camera(this.viewport.frame);
    if (!camera) return [];
    const corners = (this.placed ?? this.growing).map((corner) => fromReference(camera, corner));
    if (this.held) corners[this.held.corner] = this.held.at;
    return corners;
  }

  /**
   * Take hold of a corner, or mark the next one; null when there is nothing to hold here.
   * @param {Point} at  pixels of the shown frame
   * @param {number} reach
   * @returns {{to: (at: Point) => void, end: () => void}|null}
   */
  from(at, reach) {
    if (!this.bodies.camera(this.viewport.frame)) return null; // on its way: without it nobody knows where the plate is
    // corners lie close together: one more is never taken for one before
    const corner = this.placed ? this.nearest(at, reach) : -1;
    if (corner < 0 && this.placed) return null;
    this.held = corner < 0 ? { corner: this.growing.length, at } : { corner, at: this.shown()[corner] };
    return { to: (now) => this.held && (this.held.at = now), end: () => this.letGo(corner >= 0 ? at : null) };
  }

  /**
   * The next corner, beside the feet, for hands without a pointer.
   * @param {number} n
   */
  add(n) {
    const [camera, box] = [this.bodies.camera(this.viewport.frame), this.bodies.at(this.viewport.frame)?.box];
    if (!camera || this.placed || n !== this.growing.length) return;
    const { width, height } = this.viewport.clip;
    const [x, y, size] = box ? [(box[0] + box[2]) / 2, box[3], box[2] - box[0]] : [width / 2, height / 2, width / 8];
    const [across, along] = BESIDE[n];
    this.take([...this.growing, round(toReference(camera, [x + across * size, y + along * size]))]);
  }

  /**
   * Move a corner; it is put down with `letGo`.
   * @param {number} corner
   * @param {Point} by  pixels of the shown frame
   */
  nudge(corner, [dx, dy]) {
    const [x, y] = this.shown()[corner];
    this.held = { corner, at: [x + dx, y + dy] };
    this.viewport.ask();
  }

  /**
   * Where to look closer: the plate, or the feet that it lies beside; pixels of the viewport.
   * @returns {Point|undefined}
   */
  middle() {
    const corners = this.shown();
    const box = this.bodies.at(this.viewport.frame)?.box;
    if (!corners.length && !box) return undefined;
    const mean = (/** @type {0|1} */ axis) => corners.reduce((sum, corner) => sum + corner[axis], 0) / corners.length;
    return toViewport(
      this.viewport.view,
      corners.length || !box ? [mean(0), mean(1)] : [(box[0] + box[2]) / 2, box[3]],
    );
  }

  /**
   * @param {Point} at
   * @param {number} reach
   */
  nearest(at, reach) {
    const far = this.shown().map((corner) => distance(corner, at));
    const least = Math.min(...far);
    return least <= reach ? far.indexOf(least) : -1;
  }

  /** @param {Point|null} from  where a corner was taken hold of: put down there again, it stays as it was */
  letGo(from) {
    const camera = this.bodies.camera(this.viewport.frame);
    const held = this.held;
    this.held = null;
    if (!held || !camera || (from && distance(from, held.at) < 1)) return;
    const corners = (this.placed ?? this.growing).slice();
    corners[held.corner] = round(toReference(camera, held.at));
    this.take(corners);
  }

  /** @param {Point[]} corners */
  take(corners) {
    this.growing = corners.length < CORNERS ? corners : [];
    if (corners.length === CORNERS) this.dispatchEvent(new CustomEvent("placed", { detail: corners }));
    this.dispatchEvent(new Event("change"));
  }

  /** The corner marked last is taken back. Gives back whether there was one. */
  back() {
    if (!this.growing.length) return false;
    this.take(this.growing.slice(0, -1));
    return true;
  }

  /** Nothing half marked. */
  forget() {
    this.held = null;
    this.take([]);
  }
}

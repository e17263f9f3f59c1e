// @ts-check
/**
 * Two fingers in the viewport: what lies under them stays under them, so that they move and zoom at once.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./viewport.js").Viewport} Viewport
 */
import { distance } from "./geometry.js";

const LEAST = 8; // viewport pixels: fingers that touch each other tell no distance

export class Fingers {
  /** @param {Viewport} viewport */
  constructor(viewport) {
    this.viewport = viewport;
    /** @type {Map<number, Point>} by pointer, those that lie in the viewport */
    this.down = new Map();
    this.isTwo = false; // until all are up: a finger that stays draws nothing
  }

  /**
   * Whether this makes it two.
   * @param {PointerEvent} event
   */
  put(event) {
    if (event.pointerType !== "touch") return false;
    if (event.isPrimary) this.forget();
    this.down.set(event.pointerId, this.viewport.viewportPoint(event));
    this.isTwo ||= this.down.size === 2;
    return this.isTwo;
  }

  /** The first finger of a new touch: what was left over of one before is gone. */
  forget() {
    this.down.clear();
    this.isTwo = false;
  }

  /**
   * Whether the move is theirs.
   * @param {PointerEvent} event
   */
  move(event) {
    const before = this.pair();
    if (!this.down.has(event.pointerId)) return this.isTwo;
    this.down.set(event.pointerId, this.viewport.viewportPoint(event));
    const now = this.pair();
    if (!this.isTwo || !before || !now) return this.isTwo;
    const [middle, goal] = [between(...before), between(...now)];
    this.viewport.pan([goal[0] - middle[0], goal[1] - middle[1]]);
    this.viewport.zoom(Math.max(distance(...now), LEAST) / Math.max(distance(...before), LEAST), goal);
    return true;
  }

  /**
   * Whether it was one of theirs.
   * @param {PointerEvent} event
   */
  lift(event) {
    const wasTwo = this.isTwo;
    this.down.delete(event.pointerId);
    if (!this.down.size) this.isTwo = false;
    return wasTwo;
  }

  /** @returns {[Point, Point]|null} */
  pair() {
    const [first, second] = [...this.down.values()];
    return this.down.size === 2 ? [first, second] : null;
  }
}

/**
 * @param {Point} a
 * @param {Point} b
 * @returns {Point}
 */
const between = ([ax, ay], [bx, by]) => [(ax + bx) / 2, (ay + by) / 2];

// @ts-check
/**
 * Undo of what the coach puts in place on frames. A step is what stood on its frame before and after, so that undoing one
 * leaves every other frame alone, whatever another window did meanwhile.
 * @typedef {import("./moves.js").Move} Move
 * @typedef {import("./moves.js").Placed} Placed
 * @typedef {{frame: number, before: Placed, after: Placed}} Step
 */
import { frameAs, placedOn } from "./moves.js";

const MOST_STEPS = 200;

export class Steps {
  /** @param {import("./corrections.js").Correcting} correcting */
  constructor(correcting) {
    this.correcting = correcting;
    /** @type {Step[]} */
    this.done = [];
    /** @type {Step[]} */
    this.undone = [];
  }

  /** @param {number} frame  the only one that the move touches @param {Move} move */
  make(frame, move) {
    const before = placedOn(this.correcting.now, frame);
    this.correcting.make(move);
    this.done.push({ frame, before, after: placedOn(this.correcting.now, frame) });
    if (this.done.length > MOST_STEPS) this.done.shift();
    this.undone = [];
  }

  /** @returns {number|null} the frame it touched */
  undo() {
    return this.go(this.done, this.undone, "before");
  }

  /** @returns {number|null} */
  redo() {
    return this.go(this.undone, this.done, "after");
  }

  /** @param {Step[]} from @param {Step[]} to @param {"before"|"after"} side */
  go(from, to, side) {
    const step = from.pop();
    if (!step) return null;
    to.push(step);
    this.correcting.make(frameAs(step.frame, step[side]));
    return step.frame;
  }
}

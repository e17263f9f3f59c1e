// @ts-check
/**
 * What is drawn on the frames of a clip, with undo and redo of strokes, apart from any page. An undo says which frame it
 * touched, so that the stage can go there.
 * @typedef {import("./types.js").MarkUp} MarkUp
 * @typedef {import("./types.js").Shape} Shape
 */

const MOST_STEPS = 200;

export class Marks extends EventTarget {
  /** @param {MarkUp[]} markups */
  constructor(markups) {
    super();
    /** @type {Map<number, MarkUp>} */
    this.byFrame = new Map(markups.map((markup) => [markup.frame, markup]));
    /** @type {{frame: number, before: Shape[], after: Shape[]}[]} */
    this.undone = [];
    /** @type {{frame: number, before: Shape[], after: Shape[]}[]} */
    this.done = [];
  }

  /** @param {number} frame @returns {MarkUp} */
  at(frame) {
    return this.byFrame.get(frame) ?? { frame, instant: "", shapes: [], show_skeleton: false, caption: "", in_evaluation: true, for_thing: false, keep_others: false };
  }

  /** @param {number} frame */
  has(frame) {
    const markup = this.at(frame);
    return markup.shapes.length > 0 || markup.caption !== "" || markup.show_skeleton;
  }

  /** A stroke: the frame's shapes before it can be had back. @param {number} frame @param {Shape[]} shapes */
  draw(frame, shapes) {
    this.done.push({ frame, before: this.at(frame).shapes, after: shapes });
    if (this.done.length > MOST_STEPS) this.done.shift();
    this.undone = [];
    this.set(frame, { shapes });
  }

  /** @param {number} frame @param {Partial<MarkUp>} fields */
  set(frame, fields) {
    if (fields.for_thing) for (const [other, markup] of this.byFrame) if (markup.for_thing) this.byFrame.set(other, { ...markup, for_thing: false });
    this.byFrame.set(frame, { ...this.at(frame), ...fields });
    this.dispatchEvent(new CustomEvent("change", { detail: frame }));
  }

  /** @returns {number|null} the frame it touched */
  undo() {
    const step = this.done.pop();
    if (!step) return null;
    this.undone.push(step);
    this.set(step.frame, { shapes: step.before });
    return step.frame;
  }

  /** @returns {number|null} */
  redo() {
    const step = this.undone.pop();
    if (!step) return null;
    this.done.push(step);
    this.set(step.frame, { shapes: step.after });
    return step.frame;
  }
}

// @ts-check
/**
 * What is drawn on the frames of a clip, apart from any page. What a hand did is told with "done": the frames it
 * touched, as they were and as they are, so that it can be taken back.
 * @typedef {import("./types.js").MarkUp} MarkUp
 * @typedef {import("./types.js").Shape} Shape
 */

export class Marks extends EventTarget {
  /** @param {MarkUp[]} markups */
  constructor(markups) {
    super();
    /** @type {Map<number, MarkUp>} */
    this.byFrame = new Map(markups.map((markup) => [markup.frame, markup]));
  }

  /**
   * @param {number} frame
   * @returns {MarkUp}
   */
  at(frame) {
    return (
      this.byFrame.get(frame) ?? {
        frame,
        instant: "",
        shapes: [],
        show_skeleton: false,
        caption: "",
        in_evaluation: true,
        for_thing: false,
        keep_others: false,
      }
    );
  }

  /** @param {number} frame */
  has(frame) {
    const markup = this.at(frame);
    return markup.shapes.length > 0 || markup.caption !== "" || markup.show_skeleton;
  }

  /**
   * A stroke.
   * @param {number} frame
   * @param {Shape[]} shapes
   */
  draw(frame, shapes) {
    const more = shapes.length - this.at(frame).shapes.length;
    this.change(frame, { shapes }, more > 0 ? "did_stroke" : more < 0 ? "did_delete" : "did_shape");
  }

  /**
   * What a hand changes about a frame, to be taken back.
   * @param {number} frame
   * @param {Partial<MarkUp>} fields
   * @param {string} words  how it is called
   */
  change(frame, fields, words) {
    const names = /** @type {(keyof MarkUp)[]} */ (Object.keys(fields));
    const others = fields.for_thing
      ? [...this.byFrame.values()].filter((markup) => markup.for_thing && markup.frame !== frame)
      : [];
    /** @type {[number, Partial<MarkUp>][]} */
    const before = [[frame, Object.fromEntries(names.map((name) => [name, this.at(frame)[name]]))]];
    for (const other of others) before.push([other.frame, { for_thing: true }]);
    this.set(frame, fields);
    this.dispatchEvent(new CustomEvent("done", { detail: { words, before, after: [[frame, fields]] } }));
  }

  /**
   * @param {number} frame
   * @param {Partial<MarkUp>} fields
   */
  set(frame, fields) {
    if (fields.for_thing)
      for (const [other, markup] of this.byFrame)
        if (markup.for_thing) this.byFrame.set(other, { ...markup, for_thing: false });
    this.byFrame.set(frame, { ...this.at(frame), ...fields });
    this.dispatchEvent(new CustomEvent("change", { detail: frame }));
  }
}

// @ts-check
/**
 * Which frame is shown. Of several requests only the newest is drawn; the number said is the number drawn.
 * @typedef {import("./frames.js").Frames} Frames
 * @typedef {import("./viewport.js").Viewport} Viewport
 */

export class Reel extends EventTarget {
  /**
   * @param {Frames} frames
   * @param {Viewport} viewport
   * @param {number} count
   */
  constructor(frames, viewport, count) {
    super();
    this.frames = frames;
    this.viewport = viewport;
    this.count = count;
    this.wanted = -1;
    this.shown = -1;
    this.request = 0;
  }

  /**
   * Show a frame (cut at the clip's ends). Resolves to whether it was drawn; false when a newer request came first.
   * @param {number} frame
   */
  async show(frame) {
    const target = Math.max(0, Math.min(this.count - 1, Math.round(frame)));
    const direction = target < this.wanted ? -1 : 1;
    this.wanted = target;
    const request = ++this.request;
    if (!this.frames.here(target)) this.say("waiting");
    /** @type {ImageBitmap} */
    let picture;
    try {
      picture = await this.frames.picture(target);
    } catch (error) {
      if (request !== this.request) return false;
      this.say("failed", error);
      if (this.shown >= 0) this.wanted = this.shown; // what is shown is what counts again
      return false;
    }
    if (request !== this.request) return false;
    this.frames.keep(target);
    this.shown = target;
    this.viewport.show(target, picture);
    this.say("shown");
    void this.frames.comeAhead(target, direction);
    return true;
  }

  /** Nothing that is still on its way is shown. */
  drop() {
    this.request++;
  }

  /**
   * From where the last request stands, so that quick keys add up.
   * @param {number} by
   */
  step(by) {
    return this.show(this.wanted + by);
  }

  /**
   * @param {"waiting"|"shown"|"failed"} what
   * @param {unknown} [error]
   */
  say(what, error) {
    this.dispatchEvent(new CustomEvent(what, { detail: { frame: this.wanted, error } }));
  }
}

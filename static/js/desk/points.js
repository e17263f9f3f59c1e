// @ts-check
/**
 * Keypoints and bat ends under the pointer: the one that is chosen, dragged into place or moved by keys, or put where
 * nothing was seen. What was put down is told with "placed".
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./holds.js").Held} Held
 * @typedef {import("./viewport.js").Viewport} Viewport
 * @typedef {import("./body.js").Bodies} Bodies
 */
import { distance } from "./geometry.js";
import { heldBody, holdsOf, isBatEnd, keyOf, nearest } from "./holds.js";

export class Points extends EventTarget {
  /**
   * @param {Viewport} viewport
   * @param {Bodies} bodies
   */
  constructor(viewport, bodies) {
    super();
    this.viewport = viewport;
    this.bodies = bodies;
    /** Which one is chosen, as holds.js names it; "" for none. */
    this.chosen = "";
    /** @type {Held|null} on its way, at the pointer */
    this.held = null;
  }

  /** The body of the shown frame, with the held point where the hand has it. */
  get body() {
    return heldBody(this.bodies.at(this.viewport.frame), this.held);
  }

  /**
   * The chosen one in the shown frame; null when it was not seen there.
   * @returns {Held|null}
   */
  get here() {
    return holdsOf(this.body).find((hold) => keyOf(hold) === this.chosen) ?? null;
  }

  /** Whether the chosen one stands in the shown frame where the coach put it. */
  get isPlaced() {
    const { bodies, chosen, viewport } = this;
    return isBatEnd(chosen)
      ? bodies.batIsPlaced(viewport.frame)
      : chosen !== "" && bodies.placed(viewport.frame).has(Number(chosen));
  }

  /** @param {string} key */
  choose(key) {
    this.chosen = key;
    this.tell();
  }

  /**
   * Take hold of the nearest one; or put the chosen one here when this frame does not have it. Null when neither.
   * @param {Point} at  pixels of the frame
   * @param {number} reach
   * @returns {{to: (at: Point) => void, end: () => void}|null}
   */
  from(at, reach) {
    const body = this.bodies.at(this.viewport.frame);
    if (!body) return null; // on its way
    const isMissing = this.chosen !== "" && !this.here;
    const near = isMissing ? null : nearest(holdsOf(body), at, reach);
    if (!near && !isMissing) return null;
    if (near) this.choose(keyOf(near));
    this.held = near ?? newAt(this.chosen, at, at);
    const first = near?.at;
    return {
      to: (now) => (this.held = this.held && { ...this.held, at: now }),
      end: () => {
        const least = this.viewport.inClip(first ? 1 : this.held?.kind === "bat" ? 6 : 0);
        const isMeant = this.held && distance(first ?? at, this.held.at) >= least;
        if (!isMeant) this.held = null; // put down where it was, or a bat without length
        this.putDown();
      },
    };
  }

  /** The chosen one, which this frame does not have, beside the hitter: for hands without a pointer. */
  add() {
    const body = this.bodies.at(this.viewport.frame);
    if (!body || this.chosen === "" || this.here) return;
    const { width, height } = this.viewport.clip;
    const [x0, y0, x1, y1] = body.box ?? [width / 3, height / 3, (2 * width) / 3, (2 * height) / 3];
    const middle = /** @type {Point} */ ([(x0 + x1) / 2, (y0 + y1) / 2]);
    this.held = newAt(this.chosen, [middle[0], middle[1] - (y1 - y0) / 3], middle);
    this.putDown();
  }

  /**
   * Move the chosen one; it is put down with `putDown`.
   * @param {Point} by  pixels of the frame
   */
  nudge([dx, dy]) {
    const { here } = this;
    if (!here) return;
    this.held = { ...here, at: [here.at[0] + dx, here.at[1] + dy] };
    this.viewport.ask();
  }

  putDown() {
    const { held } = this;
    this.held = null;
    if (held) this.dispatchEvent(new CustomEvent("placed", { detail: held }));
    this.tell();
  }

  tell() {
    this.dispatchEvent(new Event("change"));
    this.viewport.ask();
  }
}

/**
 * @param {string} key
 * @param {Point} at
 * @param {Point} knob  the other end, where a bat begins
 * @returns {Held}
 */
function newAt(key, at, knob) {
  return isBatEnd(key) ? { kind: "bat", end: 1, at, other: knob } : { kind: "keypoint", keypoint: Number(key), at };
}

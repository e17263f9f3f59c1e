// @ts-check
/**
 * The time line of the whole clip: its swings as spans, the instants with their names, how loud it was, and the shown
 * frame. Each frame has an equal share of the width, so that the frame under the pointer is the one that is shown.
 * @typedef {import("./types.js").Span} Span
 */
import { made } from "./page.js";
import { HEIGHT, labelled, placeOf, soundPath } from "./spans.js";
import { part } from "./svg.js";

export class Timeline extends EventTarget {
  /**
   * @param {HTMLElement} box
   * @param {{count: number, sound: number[], spans: Span[], here: number}} clip  here: the number of the swing
   * that is shown
   * @param {Record<string, string>} names  of the instants
   */
  constructor(box, clip, names) {
    super();
    this.box = box;
    this.clip = clip;
    this.names = names;
    this.frame = 0;
    this.needle = part("line", { class: "needle", y1: HEIGHT - 28, y2: HEIGHT }); // below the names
    this.svg = part("svg", { viewBox: `0 0 1000 ${HEIGHT}`, preserveAspectRatio: "none", "aria-hidden": "true" });
    this.labels = made("div", { class: "names", "aria-hidden": "true" });
    this.width = 0; // as the watcher says: asking for it lays the page out, in the middle of what is changed on it
    this.watcher = new ResizeObserver(() => {
      this.width = box.clientWidth;
      this.showNames();
    });
    this.down = this.down.bind(this);
    this.move = this.move.bind(this);
    this.key = this.key.bind(this);
  }

  enable() {
    const { box, clip } = this;
    box.replaceChildren(this.svg, this.labels);
    box.setAttribute("aria-valuemax", String(clip.count - 1));
    box.addEventListener("pointerdown", this.down);
    box.addEventListener("pointermove", this.move);
    box.addEventListener("keydown", this.key);
    this.watcher.observe(box);
    this.draw();
  }

  disable() {
    this.box.removeEventListener("pointerdown", this.down);
    this.box.removeEventListener("pointermove", this.move);
    this.box.removeEventListener("keydown", this.key);
    this.watcher.disconnect();
  }

  /**
   * A swing as it is read now.
   * @param {Span} span
   */
  take(span) {
    this.clip.spans = this.clip.spans.map((old) => (old.index === span.index ? span : old));
    this.draw();
  }

  draw() {
    const { count, here, sound, spans } = this.clip;
    const place = (/** @type {number} */ frame) => placeOf(frame, count).toFixed(2);
    const parts = spans.flatMap((span) => {
      const [first, last] = [(1000 * span.start_frame) / count, (1000 * (span.end_frame + 1)) / count];
      const about = { x: first.toFixed(2), width: Math.max(1, last - first).toFixed(2), y: HEIGHT - 28, height: 28 };
      const ticks = Object.values(span.instants).map((frame) =>
        part("line", { class: "instant", x1: place(frame), x2: place(frame), y1: HEIGHT - 28, y2: HEIGHT }),
      );
      return [part("rect", { class: span.index === here ? "span here" : "span", ...about }), ...ticks];
    });
    if (sound.length) parts.push(part("path", { class: "wave", d: soundPath(sound) }));
    this.svg.replaceChildren(...parts, this.needle);
    this.showNames();
  }

  /** Names where they have room, those a coach looks for first before others. */
  showNames() {
    const { count, here, spans } = this.clip;
    const instants = spans.find((span) => span.index === here)?.instants ?? {};
    const shown = labelled(instants, this.names, count, this.width);
    this.labels.replaceChildren(
      ...shown.map(({ left, words }) => {
        const name = made("span", { text: words });
        name.style.left = `${left}px`;
        return name;
      }),
    );
  }

  /**
   * @param {number} frame
   * @param {string} words  how the place is said
   */
  point(frame, words) {
    this.frame = frame;
    const x = placeOf(frame, this.clip.count).toFixed(2);
    this.needle.setAttribute("x1", x);
    this.needle.setAttribute("x2", x);
    this.box.setAttribute("aria-valuenow", String(frame));
    this.box.setAttribute("aria-valuetext", words);
  }

  /** @param {PointerEvent} event */
  down(event) {
    if (event.button !== 0) return;
    try {
      this.box.setPointerCapture(event.pointerId);
    } catch {
      // a pointer that is gone already
    }
    this.seek(event);
  }

  /** @param {PointerEvent} event */
  move(event) {
    if (event.buttons === 1 && this.box.hasPointerCapture(event.pointerId)) this.seek(event);
  }

  /** @param {PointerEvent} event */
  seek(event) {
    const edge = this.box.getBoundingClientRect();
    this.go(Math.floor(((event.clientX - edge.left) / edge.width) * this.clip.count));
  }

  /** @param {number} frame */
  go(frame) {
    const { count } = this.clip;
    this.dispatchEvent(new CustomEvent("frame", { detail: Math.max(0, Math.min(count - 1, frame)) }));
  }

  /**
   * While it has the focus: Home and End are the clip's, PageUp and PageDown a tenth of it, up and down one frame.
   * @param {KeyboardEvent} event
   */
  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const { count } = this.clip;
    const far = Math.max(1, Math.round(count / 10));
    const to = /** @type {Record<string, number>} */ ({
      Home: 0,
      End: count - 1,
      PageUp: this.frame + far,
      PageDown: this.frame - far,
      ArrowUp: this.frame + 1,
      ArrowDown: this.frame - 1,
    })[event.key];
    if (to === undefined) return; // left and right step as everywhere on the desk
    event.preventDefault();
    this.go(to);
  }
}

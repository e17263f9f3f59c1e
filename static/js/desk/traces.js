// @ts-check
/**
 * The strip of traces under the film: how fast the hands and the front foot are, and the sound; the instants as rules,
 * the shown frame as a needle. A click goes to the frame.
 * @typedef {import("./types.js").Swing} Swing
 */
import { part } from "./svg.js";

const HEIGHT = 44;
const LINES = /** @type {const} */ ([
  ["hands_speed", 34],
  ["front_foot_speed", 26],
  ["sound", 16],
]);

/**
 * A path through the values on a scale from 0 to 1000 across, gaps left open.
 * @param {(number|null)[]} values
 * @param {number} base  where 0 lies
 * @param {number} tall  how tall the greatest is
 */
export function pathOf(values, base, tall) {
  const most = Math.max(...values.map((value) => Math.abs(value ?? 0)), 1e-9);
  let path = "";
  let isDown = false;
  values.forEach((value, i) => {
    if (value === null) {
      isDown = false;
      return;
    }
    const x = ((1000 * (i + 0.5)) / values.length).toFixed(1);
    path += `${isDown ? "L" : "M"}${x} ${(base - (tall * value) / most).toFixed(1)}`;
    isDown = true;
  });
  return path;
}

export class Traces extends EventTarget {
  /**
   * @param {HTMLElement} box
   * @param {Record<string, string>} names  what the lines are called
   */
  constructor(box, names) {
    super();
    this.box = box;
    this.names = names;
    /** @type {Swing|null} */
    this.swing = null;
    this.first = 0;
    this.count = 1;
    this.needle = part("line", { class: "needle", y1: 0, y2: HEIGHT });
    box.addEventListener("pointerdown", (event) => this.take(event));
    box.addEventListener("pointermove", (event) => event.buttons === 1 && this.take(event));
  }

  /** @param {Swing} swing */
  show(swing) {
    this.swing = swing;
    const frames = /** @type {number[]} */ (swing.traces.frame ?? []);
    this.first = frames[0] ?? swing.start_frame;
    this.count = Math.max(1, frames.length || swing.end_frame - swing.start_frame + 1);
    const svg = part("svg", { viewBox: `0 0 1000 ${HEIGHT}`, preserveAspectRatio: "none", "aria-hidden": "true" });
    for (const [name, tall] of LINES) {
      const values = swing.traces[name] ?? [];
      const path = pathOf(values, HEIGHT - 3, tall);
      if (path) svg.append(part("path", { class: `trace ${name}`, d: path }));
    }
    for (const instant of Object.values(swing.instants)) {
      if (instant.frame !== null)
        svg.append(part("line", { class: "instant", y1: 0, y2: HEIGHT, ...this.at(instant.frame) }));
    }
    svg.append(this.needle);
    this.box.replaceChildren(svg, this.legend());
  }

  /** @param {number} frame */
  at(frame) {
    const x = ((1000 * (frame - this.first + 0.5)) / this.count).toFixed(1);
    return { x1: x, x2: x };
  }

  /** @param {number} frame */
  point(frame) {
    for (const [name, value] of Object.entries(this.at(frame))) this.needle.setAttribute(name, value);
  }

  /** @param {PointerEvent} event */
  take(event) {
    const edge = this.box.getBoundingClientRect();
    const share = Math.min(0.9999, Math.max(0, (event.clientX - edge.left) / edge.width));
    this.dispatchEvent(new CustomEvent("frame", { detail: this.first + Math.floor(share * this.count) }));
  }

  legend() {
    const legend = document.createElement("p");
    legend.className = "legend";
    for (const [name] of LINES) {
      if (!(this.swing?.traces[name] ?? []).some((value) => value !== null)) continue;
      const item = document.createElement("span");
      item.className = `of ${name}`;
      item.textContent = this.names[name];
      legend.append(item);
    }
    return legend;
  }
}

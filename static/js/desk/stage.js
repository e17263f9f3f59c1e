// @ts-check
/**
 * The stage: one canvas with the frame and what lies over it. Everything is drawn in one animation frame, however often it
 * is asked for; the device's pixel ratio is known here alone.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./geometry.js").View} View
 * @typedef {(ink: CanvasRenderingContext2D, view: View) => void} Layer
 */
import { fit, kept, moved, toClip, zoomed } from "./geometry.js";

export class Stage {
  /**
   * @param {HTMLElement} box @param {HTMLCanvasElement} canvas
   * @param {{width: number, height: number}} clip
   */
  constructor(box, canvas, clip) {
    this.box = box;
    this.canvas = canvas;
    this.clip = clip;
    /** @type {Layer[]} */
    this.layers = [];
    /** @type {ImageBitmap|null} */
    this.picture = null;
    this.frame = -1;
    this.asked = 0;
    this.size = { width: 1, height: 1 };
    /** @type {View} */
    this.view = { scale: 1, x: 0, y: 0 };
    this.isWhole = true; // then the picture fits anew when the window changes
    this.watcher = new ResizeObserver(() => this.resize());
  }

  enable() {
    this.watcher.observe(this.box); // observing twice is observing once
    this.resize();
  }

  disable() {
    this.watcher.disconnect();
  }

  resize() {
    const { clientWidth: width, clientHeight: height } = this.box;
    if (!width || !height) return;
    this.size = { width, height };
    this.view = this.isWhole ? fit(this.clip, this.size) : kept(this.view, this.clip, this.size);
    this.canvas.width = Math.round(width * devicePixelRatio);
    this.canvas.height = Math.round(height * devicePixelRatio);
    this.ask();
  }

  /** @param {number} frame @param {ImageBitmap} picture */
  show(frame, picture) {
    this.frame = frame;
    this.picture = picture;
    this.draw(); // at once, so that frame and words never part
  }

  /** Draw soon, once. */
  ask() {
    if (!this.asked) this.asked = requestAnimationFrame(() => this.draw());
  }

  draw() {
    cancelAnimationFrame(this.asked);
    this.asked = 0;
    const ink = this.canvas.getContext("2d");
    if (!ink) return;
    ink.setTransform(devicePixelRatio, 0, 0, devicePixelRatio, 0, 0);
    ink.clearRect(0, 0, this.size.width, this.size.height);
    if (this.picture) {
      ink.imageSmoothingQuality = "high";
      ink.drawImage(this.picture, this.view.x, this.view.y, this.clip.width * this.view.scale, this.clip.height * this.view.scale);
    }
    for (const layer of this.layers) layer(ink, this.view);
  }

  /** A length of the stage in clip pixels. @param {number} pixels */
  inClip(pixels) {
    return pixels / this.view.scale;
  }

  /** Where a pointer is, in clip pixels. @param {PointerEvent|WheelEvent} event @returns {Point} */
  clipPoint(event) {
    return toClip(this.view, this.stagePoint(event));
  }

  /** @param {PointerEvent|WheelEvent} event @returns {Point} */
  stagePoint(event) {
    const edge = this.canvas.getBoundingClientRect();
    return [event.clientX - edge.left, event.clientY - edge.top];
  }

  /** @param {number} factor @param {Point} [at]  stage pixels; the middle when missing */
  zoom(factor, at = [this.size.width / 2, this.size.height / 2]) {
    this.view = kept(zoomed(this.view, factor, at), this.clip, this.size);
    this.isWhole = this.view.scale <= fit(this.clip, this.size).scale * 1.001;
    this.ask();
  }

  /** @param {Point} by  stage pixels */
  pan(by) {
    this.view = kept(moved(this.view, by), this.clip, this.size);
    this.ask();
  }

  whole() {
    this.isWhole = true;
    this.view = fit(this.clip, this.size);
    this.ask();
  }
}

// @ts-check
/**
 * The viewport: one canvas with the frame and what lies over it. Everything is drawn in one animation frame, however
 * often it is asked for; the device's pixel ratio is known here alone.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./geometry.js").View} View
 * @typedef {(ink: CanvasRenderingContext2D, view: View) => void} Layer
 */
import { filling, fit, kept, MOST, moved, toClip, zoomed } from "./geometry.js";
import { lighten } from "./light.js";

export class Viewport extends EventTarget {
  /**
   * @param {HTMLElement} box
   * @param {HTMLCanvasElement} canvas
   * @param {{width: number, height: number, hitter?: [number, number, number, number]|null}} clip
   * @param {{isOn: boolean}|null} [light]  whether the film is shown lighter
   */
  constructor(box, canvas, clip, light = null) {
    super();
    this.light = light;
    this.box = box;
    this.canvas = canvas;
    this.clip = clip;
    /** @type {Layer[]} film that lies over this film */
    this.films = [];
    /** @type {Layer[]} what is drawn on it */
    this.layers = [];
    /** @type {ImageBitmap|null} */
    this.picture = null;
    this.frame = -1;
    this.asked = 0;
    this.isOn = false;
    this.size = { width: 1, height: 1 };
    /** @type {View} */
    this.view = { scale: 1, x: 0, y: 0 };
    /** @type {"whole"|"hitter"|"own"} what fits anew when the window changes; a view of the coach's own is kept */
    this.fits = clip.hitter ? "hitter" : "whole";
    this.watcher = new ResizeObserver(() => this.resize());
  }

  enable() {
    this.isOn = true;
    this.watcher.observe(this.box); // observing twice is observing once
    this.resize();
  }

  /** The canvas may be another film's from now on: what comes late is not drawn. */
  disable() {
    this.isOn = false;
    this.watcher.disconnect();
    cancelAnimationFrame(this.asked);
    this.asked = 0;
  }

  resize() {
    const { clientWidth: width, clientHeight: height } = this.box;
    if (!width || !height) return;
    this.size = { width, height };
    this.fitAnew();
    this.canvas.width = Math.round(width * devicePixelRatio);
    this.canvas.height = Math.round(height * devicePixelRatio);
    this.ask();
  }

  fitAnew() {
    const { clip, fits, size, view } = this;
    this.view =
      fits === "own"
        ? kept(view, clip, size)
        : fits === "hitter" && clip.hitter
          ? filling(clip.hitter, clip, size)
          : fit(clip, size);
    this.dispatchEvent(new Event("view"));
  }

  /**
   * @param {number} frame
   * @param {ImageBitmap} picture
   */
  show(frame, picture) {
    this.frame = frame;
    this.picture = picture;
    this.draw(); // at once, so that frame and words never part
  }

  /** Draw soon, once. */
  ask() {
    if (this.isOn && !this.asked) this.asked = requestAnimationFrame(() => this.draw());
  }

  draw() {
    cancelAnimationFrame(this.asked);
    this.asked = 0;
    const ink = this.isOn && this.canvas.getContext("2d");
    if (!ink) return;
    ink.setTransform(devicePixelRatio, 0, 0, devicePixelRatio, 0, 0);
    ink.clearRect(0, 0, this.size.width, this.size.height);
    if (this.picture) {
      ink.imageSmoothingQuality = "high";
      ink.drawImage(
        this.picture,
        this.view.x,
        this.view.y,
        this.clip.width * this.view.scale,
        this.clip.height * this.view.scale,
      );
    }
    for (const film of this.films) film(ink, this.view);
    if (this.picture && this.light?.isOn) lighten(ink);
    for (const layer of this.layers) layer(ink, this.view);
  }

  /** How much larger the film is than as a whole. */
  get larger() {
    return this.view.scale / fit(this.clip, this.size).scale;
  }

  /**
   * A length of the viewport in clip pixels.
   * @param {number} pixels
   */
  inClip(pixels) {
    return pixels / this.view.scale;
  }

  /**
   * Where a pointer is, in clip pixels.
   * @param {MouseEvent} event
   * @returns {Point}
   */
  clipPoint(event) {
    return toClip(this.view, this.viewportPoint(event));
  }

  /**
   * @param {MouseEvent} event
   * @returns {Point}
   */
  viewportPoint(event) {
    const edge = this.canvas.getBoundingClientRect();
    return [event.clientX - edge.left, event.clientY - edge.top];
  }

  /**
   * @param {number} factor
   * @param {Point} [at]  viewport pixels; the middle when missing
   */
  zoom(factor, at = [this.size.width / 2, this.size.height / 2]) {
    const least = fit(this.clip, this.size).scale;
    // cut first: the point under `at` stays there also at the end
    const scale = Math.min(Math.max(this.view.scale * factor, least), least * MOST);
    this.look(zoomed(this.view, scale / this.view.scale, at));
  }

  /** @param {Point} by  viewport pixels */
  pan(by) {
    this.look(moved(this.view, by));
  }

  /**
   * A view of the coach's own, as far as the clip's edges let it.
   * @param {View} view
   */
  look(view) {
    this.view = kept(view, this.clip, this.size);
    this.fits = this.isWhole ? "whole" : "own";
    this.dispatchEvent(new Event("view"));
    this.ask();
  }

  get isWhole() {
    return this.view.scale <= fit(this.clip, this.size).scale * 1.001;
  }

  /** @param {"whole"|"hitter"} what */
  fit(what) {
    this.fits = what;
    this.fitAnew();
    this.ask();
  }
}

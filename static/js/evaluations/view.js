// @ts-check
import { lighten } from "../desk/light.js";

/** One frame drawn so that the hitter fills it: the part of the film that holds hitter and bat over the whole swing. */

const WIDEST = 1.6; // width to height: a swing is upright
const NARROWEST = 0.7;

/** @typedef {[number, number, number, number]} Box  x0, y0, x1, y1 */

/**
 * The part of the film that is shown: the hitter's box, made wider or higher until its shape fits a page, within the
 * film.
 * @param {Box|null} hitter
 * @param {number} width
 * @param {number} height
 * @returns {Box}
 */
export function part(hitter, width, height) {
  if (!hitter) return [0, 0, width, height];
  let [w, h] = [hitter[2] - hitter[0], hitter[3] - hitter[1]];
  if (w / h > WIDEST) h = w / WIDEST;
  if (w / h < NARROWEST) w = h * NARROWEST;
  [w, h] = [Math.min(w, width), Math.min(h, height)];
  const from = (
    /** @type {number} */ low,
    /** @type {number} */ high,
    /** @type {number} */ size,
    /** @type {number} */ most,
  ) => Math.max(0, Math.min(most - size, (low + high - size) / 2));
  const [x, y] = [from(hitter[0], hitter[2], w, width), from(hitter[1], hitter[3], h, height)];
  return [x, y, x + w, y + h];
}

export class View {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {{hitter: Box|null, width: number, height: number, lighter?: boolean}} film
   */
  constructor(canvas, film) {
    this.canvas = canvas;
    this.film = film;
    this.part = part(film.hitter, film.width, film.height);
    /** @type {ImageBitmap|null} */
    this.picture = null;
    canvas.style.aspectRatio = String((this.part[2] - this.part[0]) / (this.part[3] - this.part[1]));
  }

  /**
   * @param {number} frame
   * @param {ImageBitmap} picture
   */
  show(frame, picture) {
    this.picture = picture;
    this.canvas.dataset.frame = String(frame);
    this.draw();
  }

  draw() {
    const { canvas, picture, part: shown } = this;
    if (!picture || !canvas.clientWidth) return;
    const [w, h] = [canvas.clientWidth, canvas.clientHeight].map((side) => Math.round(side * devicePixelRatio));
    if (canvas.width !== w || canvas.height !== h) Object.assign(canvas, { width: w, height: h });
    const scale = picture.width / this.film.width; // stills may be smaller than the film
    const [x0, y0, x1, y1] = shown.map((side) => side * scale);
    const ink = canvas.getContext("2d");
    ink?.drawImage(picture, x0, y0, x1 - x0, y1 - y0, 0, 0, w, h);
    if (ink && this.film.lighter) lighten(ink);
  }
}

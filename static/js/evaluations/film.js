// @ts-check
/**
 * The family's own film: the swing in slow motion on exact stills. It stops at each frame on which the coach drew and
 * shows that picture. Buttons for a thumb; arrow keys, Home, End and the space bar for a keyboard. Nothing is fetched,
 * and nothing moves, unasked.
 * @typedef {{frame: number, src: string, alt: string, caption: string}} Mark
 * @typedef {object} About  as portal/evaluations/watching.py sends it
 * @property {string} files  address before a file's name
 * @property {number} first
 * @property {number} last
 * @property {number} width  of the clip, in pixels
 * @property {number} height
 * @property {[number, number, number, number]|null} hitter  x0, y0, x1, y1 in the clip's pixels
 * @property {number} slowed  how many times the film had been slowed down
 * @property {boolean} [lighter]  shown lighter than it was filmed, as the coach chose
 * @property {Mark[]} marks  in the order of the film
 */
import { byId, field, filled } from "../desk/page.js";
import { Frames } from "../desk/frames.js";
import { Play } from "../desk/play.js";
import { Reel } from "../desk/reel.js";
import { View } from "./view.js";

class Player {
  /**
   * @param {About} about
   * @param {Frames} frames
   */
  constructor(about, frames) {
    this.about = about;
    this.box = byId("watch");
    this.words = this.box.dataset;
    this.view = new View(/** @type {HTMLCanvasElement} */ (byId("watch-canvas")), about);
    this.reel = new Reel(frames, /** @type {any} */ (this.view), Math.min(about.last + 1, frames.count));
    this.play = new Play(
      this.reel,
      (frame) => frames.time(frame),
      () => [about.first, this.end],
    );
    /** Until where the film runs now: the next frame that the coach drew on, or the last. */
    this.end = about.last;
    this.isStill = matchMedia("(prefers-reduced-motion: reduce)");
  }

  enable() {
    const slider = field("watch-frame");
    Object.assign(slider, { min: this.about.first, max: this.about.last, value: this.about.first });
    slider.addEventListener("input", () => this.goTo(Number(slider.value)));
    byId("watch-play").addEventListener("click", () => void this.go());
    byId("watch-back").addEventListener("click", () => this.goTo(this.reel.wanted - 1));
    byId("watch-forward").addEventListener("click", () => this.goTo(this.reel.wanted + 1));
    for (const name of ["watch-canvas", "watch-mark"]) byId(name).addEventListener("click", () => void this.go());
    field("watch-rate").addEventListener("change", () => this.takeRate());
    this.box.addEventListener("keydown", (event) => this.press(event));
    this.reel.addEventListener("shown", () => this.said());
    this.reel.addEventListener("failed", () => this.say(this.words.fails ?? ""));
    this.play.addEventListener("change", () => this.said());
    this.isStill.addEventListener("change", () => this.said());
    document.addEventListener("visibilitychange", () => document.hidden && this.play.stop());
    addEventListener("resize", () => this.view.draw());
    this.takeRate();
  }

  takeRate() {
    this.play.rate = Number(field("watch-rate").value) * this.about.slowed;
  }

  /** @param {number} frame */
  goTo(frame) {
    this.play.stop();
    return this.reel.show(Math.max(this.about.first, Math.min(this.about.last, frame)));
  }

  /** Play, pause, or go on after a mark. Where the device asks for no motion: straight to the next mark. */
  async go() {
    if (this.play.isOn) return this.play.stop();
    const isOver = this.reel.shown >= this.about.last;
    const at = isOver ? this.about.first - 1 : this.reel.shown;
    this.end = this.about.marks.find((mark) => mark.frame > at)?.frame ?? this.about.last;
    if (this.isStill.matches) return void this.goTo(this.end);
    if (isOver) await this.reel.show(this.about.first);
    await this.play.start();
  }

  get mark() {
    return this.play.isOn ? undefined : this.about.marks.find((mark) => mark.frame === this.reel.shown);
  }

  /** The page says what is shown: the frame's number, and on a mark the coach's picture and its words. */
  said() {
    const { shown } = this.reel;
    const { first, last } = this.about;
    const { mark, words } = this;
    field("watch-frame").value = String(shown);
    const frame = filled(words.frame ?? "", { n: shown - first + 1, all: last - first + 1 });
    field("watch-frame").setAttribute("aria-valuetext", frame);
    byId("watch-canvas").setAttribute("aria-label", frame);
    const picture = /** @type {HTMLImageElement} */ (byId("watch-mark"));
    picture.hidden = !mark;
    if (mark && picture.getAttribute("src") !== mark.src) Object.assign(picture, { src: mark.src, alt: mark.alt });
    byId("watch-count").textContent = frame;
    if (mark) this.say(mark.caption || (words.mark ?? ""));
    else this.say(this.play.isOn ? "" : frame, true);
    const next = shown >= last ? words.again : this.isStill.matches ? words.nextMark : mark ? words.on : words.play;
    byId("watch-play").textContent = (this.play.isOn ? words.pause : next) ?? "";
    /** @type {HTMLElement} */ (this.box.querySelector(".player-still")).hidden = !this.isStill.matches;
  }

  /**
   * To those who hear the page, at each stop; a film that runs is counted for the eye alone, frame by frame.
   * @param {string} words
   * @param {boolean} [isCount]  the counter shows it already
   */
  say(words, isCount = false) {
    const said = byId("watch-said");
    if (said.textContent !== words) said.textContent = words;
    said.classList.toggle("unseen", isCount);
    byId("watch-count").hidden = !isCount;
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target instanceof HTMLSelectElement) return;
    const acts = /** @type {Record<string, () => void>} */ ({
      ArrowLeft: () => this.goTo(this.reel.wanted - 1),
      ArrowRight: () => this.goTo(this.reel.wanted + 1),
      Home: () => this.goTo(this.about.first),
      End: () => this.goTo(this.about.last),
    });
    if (event.key === " " && !(event.target instanceof HTMLButtonElement)) acts[" "] = () => void this.go();
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  }
}

/**
 * The frames come when the family asks for them: a swing is a few megabytes.
 * @param {About} about
 * @param {HTMLButtonElement} button
 */
async function open(about, button) {
  button.disabled = true;
  try {
    const player = new Player(about, await Frames.open(about.files));
    player.enable();
    byId("watch").hidden = false;
    player.view.draw();
    if (!(await player.reel.show(about.first))) throw new Error("The first frame did not come.");
    button.remove();
    byId("watch-play").focus({ preventScroll: true });
    document.body.dataset.watching = "yes";
  } catch (error) {
    console.warn("No film.", error);
    byId("watch").hidden = true;
    button.disabled = false;
    button.textContent = byId("watch").dataset.fails ?? "";
  }
}

const opener = /** @type {HTMLButtonElement} */ (byId("watch-open"));
const told = /** @type {About} */ (JSON.parse(byId("watch-data").textContent ?? "{}"));
opener.hidden = false;
opener.addEventListener("click", () => void open(told, opener));

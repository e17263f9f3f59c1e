// @ts-check
/**
 * The film side of the desk: frames, viewport, tools, body, traces and play, put together. Knows nothing of ratings or
 * words.
 * @typedef {import("./types.js").DeskData} DeskData
 * @typedef {import("./types.js").Swing} Swing
 */
import { Bodies } from "./body.js";
import { Frames } from "./frames.js";
import { Light } from "./light.js";
import { Marks } from "./marks.js";
import { overlay } from "./overlay.js";
import { all, byId, field, filled, hear } from "./page.js";
import { lettersOf, pensOf } from "./paint.js";
import { Play } from "./play.js";
import { whole } from "./ranges.js";
import { Reel } from "./reel.js";
import { finished } from "./shapes.js";
import { Sound } from "./sound.js";
import { Space } from "./space.js";
import { Viewport } from "./viewport.js";
import { Tools } from "./tools.js";
import { Timeline } from "./timeline.js";
import { Traces } from "./traces.js";

const SOURCE = /** @type {import("./frames.js").Source} */ (new URLSearchParams(location.search).get("film") ?? "both");

/** Kinds of angle, in the order in which their key goes on. */
export const ANGLES = /** @type {string[]} */ (["angle", "upright", "level", "ground_line", "ground_edge"]);

export class Film extends EventTarget {
  /**
   * @param {DeskData} data
   * @param {import("./types.js").ClipAbout} clip
   * @param {Frames} frames
   */
  constructor(data, clip, frames) {
    super();
    this.data = data;
    this.clip = clip;
    this.messages = data.messages;
    /** @type {Swing|null} */
    this.swing = data.swing;
    this.showsBody = localStorage.getItem("desk-skeleton") !== "off";
    this.light = new Light(data.submission, sessionStorage);
    this.viewport = new Viewport(
      byId("film"),
      /** @type {HTMLCanvasElement} */ (byId("film-canvas")),
      clip,
      this.light,
    );
    this.frames = frames;
    this.reel = new Reel(frames, this.viewport, Math.min(clip.frames, frames.count));
    this.bodies = new Bodies(clip.skeleton, clip.frames);
    this.bodies.corrections = data.corrections;
    this.marks = new Marks(data.markups);
    this.tools = new Tools(this.viewport, this.marks, this.bodies, lettersOf(data.marks), () => data.editable);
    this.traces = new Traces(byId("traces"), data.messages);
    const about = { count: this.reel.count, sound: clip.sound, spans: data.swings, here: data.swing_index };
    this.timeline = new Timeline(byId("timeline"), about, data.names);
    this.play = new Play(
      this.reel,
      (frame) => frames.time(frame),
      () => this.stretch(),
    );
    this.slowed = data.film.speed_factor || 1;
    this.sound = new Sound(`${clip.files}sound.flac`);
    this.play.sound = this.sound;
    this.space = new Space(this.viewport.box, () => this.play.toggle());
    this.tools.isMoving = () => this.space.take();
    this.tools.snaps = () => this.showsBody;
    this.viewport.layers.push(overlay(this.tools, pensOf(document.body, data.marks, clip), () => this.showsBody));
  }

  /**
   * The frames of a clip. The first still is on its way since the page came; its place in the packs need not be known.
   * @param {import("./types.js").ClipAbout} clip
   * @param {DeskData["first"]} first
   */
  static async frames(clip, first) {
    const still = first && SOURCE !== "copy" && whole(first.still);
    const frames = await Frames.open(clip.files, SOURCE, undefined, first?.tables);
    if (still) frames.stills.expect(first.frame, still);
    return frames;
  }

  enable() {
    this.viewport.enable();
    this.tools.enable();
    this.space.enable();
    this.viewport.addEventListener("view", () => this.showView());
    this.showView();
    if (this.swing) this.traces.show(this.swing);
    this.reel.addEventListener("shown", () => this.say());
    this.reel.addEventListener("waiting", () => this.note("no_bitmap", 400));
    this.reel.addEventListener("failed", () => this.note("film_fails", 0));
    this.bodies.addEventListener("change", () => this.viewport.ask());
    this.marks.addEventListener("change", () => this.viewport.ask());
    this.light.addEventListener("change", () => this.showLight());
    this.showLight();
    this.timeline.enable();
    for (const strip of [this.traces, this.timeline]) hear(strip, "frame", (frame) => this.goTo(frame));
    this.play.addEventListener(
      "change",
      () => (byId("play").textContent = this.messages[this.play.isOn ? "pause" : "play"]),
    );
    hear(this.tools, "words", (asked) => this.askWords(asked));
    this.tools.addEventListener("change", () => this.showTool());
    this.tools.addEventListener("noground", () => this.note("no_ground", 0));
    field("rate").addEventListener("change", () => this.takeRate());
    this.takeRate();
    this.sound.addEventListener("failed", () => this.note("sound_fails", 0));
    // what a coach has turned on is there before it is asked for, and after the first frame
    this.reel.addEventListener("shown", () => this.hears && this.sound.turn(true), { once: true });
    this.showSound();
    this.showTool();
    this.showSkeleton();
  }

  get frame() {
    return this.reel.shown;
  }

  /**
   * First and last frame of the swing.
   * @returns {[number, number]}
   */
  stretch() {
    return this.swing
      ? [this.swing.start_frame, Math.min(this.swing.end_frame, this.reel.count - 1)]
      : [0, this.reel.count - 1];
  }

  /**
   * A person asks for a frame: play stops.
   * @param {number} frame
   */
  goTo(frame) {
    this.play.stop();
    this.tools.letGo();
    return this.reel.show(frame);
  }

  /** @param {number} by */
  step(by) {
    this.play.stop();
    this.tools.letGo();
    return this.reel.step(by);
  }

  /**
   * The frame of an instant, or null.
   * @param {string} instant
   */
  frameOf(instant) {
    return this.swing?.instants[instant]?.frame ?? null;
  }

  /**
   * A frame for a stop whose instant is not known: after the nearest known one before it.
   * @param {string} stop
   * @param {string[]} stops
   */
  nearFrame(stop, stops) {
    for (let i = stops.indexOf(stop); i >= 0; i--) {
      const frame = this.frameOf(stops[i]);
      if (frame !== null) return frame;
    }
    return this.stretch()[0];
  }

  /**
   * Which instant a frame shows; nothing when none.
   * @param {number} frame
   */
  instantAt(frame) {
    const found = Object.entries(this.swing?.instants ?? {}).find(([, instant]) => instant.frame === frame);
    return found ? found[0] : "";
  }

  say() {
    clearTimeout(this.waiting);
    byId("film-note").hidden = true;
    const at = this.instantAt(this.frame);
    const words = filled(this.messages.frame_of, { frame: this.frame, all: this.reel.count });
    const seconds = this.frames.time(this.frame);
    byId("frame-words").textContent = Number.isNaN(seconds) ? words : `${words}, ${seconds.toFixed(3)} s`;
    const label = at ? filled(this.messages.at_instant, { name: this.data.names[at], frame: this.frame }) : words;
    this.viewport.canvas.setAttribute("aria-label", label);
    this.viewport.canvas.dataset.frame = String(this.frame);
    this.traces.point(this.frame);
    this.timeline.point(this.frame, at ? label : (byId("frame-words").textContent ?? ""));
    this.dispatchEvent(new Event("frame"));
  }

  /** @type {ReturnType<typeof setTimeout>|undefined} */
  waiting = undefined;

  /**
   * @param {string} message
   * @param {number} wait
   */
  note(message, wait) {
    clearTimeout(this.waiting);
    const frame = this.reel.wanted;
    this.waiting = setTimeout(() => {
      const note = byId("film-note");
      note.textContent = filled(this.messages[message], { frame });
      note.hidden = false;
    }, wait);
  }

  showTool() {
    for (const button of all("button[data-tool]"))
      button.setAttribute("aria-pressed", String(button.dataset.tool === this.tools.tool));
    const isAngle = ANGLES.includes(this.tools.tool);
    byId("angle-bar").hidden = !isAngle;
    const angle = byId("angle-tool");
    angle.setAttribute("aria-pressed", String(isAngle));
    angle.dataset.kind = isAngle ? this.tools.tool : "";
    const kind = isAngle ? byId("angle-bar").querySelector(`[data-tool=${this.tools.tool}]`) : null;
    angle.setAttribute("aria-label", `${angle.textContent} ${kind?.textContent ?? ""}`.trim());
    for (const button of all("button[data-tone]"))
      button.setAttribute("aria-pressed", String(button.dataset.tone === this.tools.tone));
    byId("film").dataset.tool = this.tools.tool;
  }

  /** Full speed is the hitter's: a film slowed four times runs four times faster than its own times for it. */
  takeRate() {
    this.play.rate = Number(field("rate").value) * this.slowed;
  }

  /**
   * The film as it is read now: how many times it was slowed down decides what full speed is.
   * @param {Record<string, any>} film
   */
  takeSpeed(film) {
    this.slowed = film.speed_factor || 1;
    this.takeRate();
  }

  /**
   * The next faster or slower speed of the list.
   * @param {1|-1} by
   */
  stepRate(by) {
    const list = /** @type {HTMLSelectElement} */ (byId("rate"));
    // the fastest stands first
    list.selectedIndex = Math.max(0, Math.min(list.options.length - 1, list.selectedIndex - by));
    this.takeRate();
  }

  toggleLoop() {
    this.play.isLoop = !this.play.isLoop;
    byId("loop").setAttribute("aria-pressed", String(this.play.isLoop));
  }

  /** Whether a coach wants the sound, and there is one. */
  get hears() {
    return this.frames.hasSound && localStorage.getItem("desk-sound") === "on";
  }

  toggleSound() {
    if (!this.frames.hasSound) return this.note(this.clip.has_sound ? "sound_not_kept" : "sound_none", 0);
    localStorage.setItem("desk-sound", this.hears ? "off" : "on");
    this.sound.turn(this.hears);
    this.showSound();
    if (!this.hears || this.play.rate === 1) return;
    this.note(this.slowed === 1 ? "sound_on" : "sound_on_slowed", 0);
  }

  showSound() {
    byId("sound").setAttribute("aria-pressed", String(this.hears));
  }

  /** What the film's own buttons tell of the view. */
  showView() {
    const { fits } = this.viewport;
    for (const button of all("[data-do=whole], [data-do=hitter]"))
      button.setAttribute("aria-pressed", String(button.dataset.do === fits));
    byId("larger").textContent = filled(this.messages.times_larger, { n: this.viewport.larger.toFixed(1) });
  }

  toggleSkeleton() {
    this.showsBody = !this.showsBody;
    localStorage.setItem("desk-skeleton", this.showsBody ? "on" : "off");
    this.showSkeleton();
    this.viewport.ask();
  }

  showLight() {
    byId("lighter").setAttribute("aria-pressed", String(this.light.isOn));
    this.viewport.ask();
  }

  showSkeleton() {
    for (const button of all("[data-do=skeleton]")) button.setAttribute("aria-pressed", String(this.showsBody));
  }

  /**
   * A line to write in, where the pointer is; each letter is kept as it is written. On a mark the words stick to it.
   * @param {{at: import("./types.js").Point, which: number}} where  clip pixels, and the mark under the pointer or -1
   */
  askWords({ at, which }) {
    const box = field("film-words");
    const [x, y] = [
      at[0] * this.viewport.view.scale + this.viewport.view.x,
      at[1] * this.viewport.view.scale + this.viewport.view.y,
    ];
    box.style.left = `${Math.min(x, this.viewport.size.width - 200)}px`;
    box.style.top = `${Math.max(0, y - 34)}px`;
    const { frame, marks, tools } = this;
    const before = marks.at(frame).shapes;
    const mark = before[which];
    box.value = mark?.text ?? "";
    box.hidden = false;
    box.focus();
    const shapes = () => {
      const text = box.value.trim();
      if (mark)
        return text === (mark.text ?? "") || (!text && mark.kind === "words")
          ? before
          : before.map((one, i) => (i === which ? { ...one, text } : one));
      const words = finished({ kind: "words", tone: tools.tone, points: [at], text }, 0);
      return words ? [...before, words] : before;
    };
    const finish = () => {
      box.onblur = box.onkeydown = box.oninput = null;
      box.hidden = true;
      marks.set(frame, { shapes: before });
      if (shapes() !== before) marks.draw(frame, shapes()); // one stroke, however many letters
      this.viewport.box.focus({ preventScroll: true });
    };
    box.oninput = () => marks.set(frame, { shapes: shapes() });
    box.onblur = finish;
    box.onkeydown = (event) => {
      if (event.key !== "Enter" && event.key !== "Escape") return;
      event.preventDefault();
      event.stopPropagation();
      finish();
    };
  }

  /**
   * New readings of the swing; null when it was taken out.
   * @param {Swing|null} swing
   * @param {import("./types.js").Corrections} corrections
   */
  take(swing, corrections) {
    this.swing = swing;
    this.bodies.corrections = corrections;
    if (swing) {
      this.traces.show(swing);
      this.timeline.take(spanOf(swing));
    }
    this.say();
    this.viewport.ask();
  }
}

/**
 * @param {Swing} swing
 * @returns {import("./types.js").Span}
 */
function spanOf({ index, start_frame, end_frame, instants }) {
  const known = Object.entries(instants).flatMap(([name, { frame }]) =>
    frame === null ? [] : [/** @type {[string, number]} */ ([name, frame])],
  );
  return { index, start_frame, end_frame, instants: Object.fromEntries(known) };
}

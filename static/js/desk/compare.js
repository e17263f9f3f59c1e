// @ts-check
/**
 * Side by side: the swing on the desk and another one of the same player, in step at a chosen instant, with both
 * readings. Each side has films and viewport of its own; the desk's film stays where it was.
 * @typedef {{clip: import("./types.js").ClipAbout, instants: Record<string, number|null>, hand: string, speed: number}}
 * Side
 * @typedef {{instants: string[], names: Record<string, string>, url: string, marks: import("./parts.js").Table,
 * messages: Record<string, string>, light: import("./light.js").Light}} About
 */
import { Bodies } from "./body.js";
import { Frames } from "./frames.js";
import { all, byId, filled, made, parsed } from "./page.js";
import { paintBat, paintBody, pensOf } from "./paint.js";
import { Reel } from "./reel.js";
import { inStep, laidOver } from "./step.js";
import { Viewport } from "./viewport.js";

/** One side's film: its frames, its viewport, its bodies. */
class Film {
  /**
   * @param {string} id
   * @param {Side} side
   * @param {Frames} frames
   * @param {About} about
   */
  constructor(id, side, frames, { marks, light }) {
    const box = byId(id);
    this.side = side;
    this.frames = frames;
    this.viewport = new Viewport(box, /** @type {HTMLCanvasElement} */ (box.querySelector("canvas")), side.clip, light);
    this.reel = new Reel(frames, this.viewport, Math.min(side.clip.frames, frames.count));
    this.bodies = new Bodies(side.clip.skeleton, side.clip.frames);
    const pens = pensOf(document.body, marks, side.clip);
    this.viewport.layers.push((ink, view) => {
      const { body } = this;
      if (body?.points) paintBody(ink, view, body.points, pens, new Set());
      if (body?.bat) paintBat(ink, view, body.bat, pens, false);
    });
    this.bodies.addEventListener("change", () => this.viewport.ask());
  }

  get body() {
    return this.bodies.at(this.viewport.frame);
  }

  leave() {
    this.reel.drop();
    this.viewport.disable();
    this.viewport.canvas.width = 0; // empty until there is another film
    this.frames.close();
  }
}

export class Compare {
  /** @param {About} about */
  constructor(about) {
    this.about = about;
    this.dialog = /** @type {HTMLDialogElement} */ (byId("compare"));
    this.chooser = /** @type {HTMLSelectElement} */ (byId("compare-with"));
    this.instant = "";
    this.offset = 0;
    this.isMirrored = this.isOverlaid = this.byPointer = false;
    /** @type {Film[]} this one and the other */
    this.films = [];
    /** What was asked for last: an answer that comes late is for nobody. */
    this.asked = 0;
    const act = /** @type {Record<string, () => void>} */ ({
      back: () => this.step(-1),
      forward: () => this.step(1),
      overlay: () => this.turn("overlay"),
      mirror: () => this.turn("mirror"),
      lighter: () => about.light.turn(),
      close: () => this.dialog.close(),
    });
    for (const [name, does] of Object.entries(act)) byId(`compare-${name}`).addEventListener("click", does);
    this.chooser.addEventListener("change", () => void this.load(this.chooser.value));
    about.light.addEventListener("change", () => this.showLight());
    this.showLight();
    this.dialog.addEventListener("keydown", (event) => this.press(event));
    this.dialog.addEventListener("close", () => this.leave());
    const buttons = about.instants.map((name) =>
      made("button", { type: "button", text: about.names[name], "data-instant": name }),
    );
    for (const button of buttons)
      button.addEventListener("click", () => this.go(/** @type {string} */ (button.dataset.instant)));
    byId("compare-instants").replaceChildren(...buttons);
  }

  /** @param {string} instant  where the coach stands */
  async open(instant) {
    // a button that was clicked would have the next Space, which plays the film
    this.byPointer = !document.activeElement?.matches(":focus-visible");
    this.dialog.showModal();
    this.instant = instant;
    const asked = ++this.asked;
    const told = await this.ask("");
    if (asked !== this.asked) return;
    const choices = told?.choices ?? [];
    this.chooser.replaceChildren(
      ...choices.map((/** @type {{value: string, words: string}} */ one) =>
        made("option", { value: one.value, text: one.words }),
      ),
    );
    if (!told) return;
    this.dialog.toggleAttribute("data-alone", !choices.length); // nothing to lay beside it: words alone
    if (!choices.length) return this.say("compare_none");
    await this.load(choices[0].value);
  }

  /** @param {string} which  clip and swing */
  async load(which) {
    const asked = ++this.asked;
    this.say("compare_waits");
    const told = await this.ask(which);
    if (!told || asked !== this.asked) return;
    try {
      const frames = await Promise.all(
        [told.this, told.other].map((/** @type {Side} */ side) => Frames.open(side.clip.files)),
      );
      if (asked !== this.asked) return;
      this.putAway();
      this.films = [told.this, told.other].map(
        (side, i) => new Film(["side-this", "side-other"][i], side, frames[i], this.about),
      );
    } catch (error) {
      console.warn("Nothing beside it.", error);
      return asked === this.asked ? this.say("film_fails") : undefined;
    }
    const films = this.films; // these two belong together, whatever comes to the dialog after them
    films[0].viewport.films.push((ink, view) => this.isOverlaid && laidOver(ink, view, films, this.isMirrored));
    films[1].viewport.layers.push(() => this.isOverlaid && films[0].viewport.ask());
    for (const film of films) film.viewport.enable();
    byId("compare-rows").replaceChildren(...parsed(`<table>${told.html}</table>`).querySelectorAll("tr"));
    this.isMirrored = told.this.hand !== told.other.hand; // a switch hitter's other side looks the same way
    this.go(this.instant);
  }

  leave() {
    if (this.dialog.open) return; // opened again before its closing was told
    if (this.byPointer) byId("film").focus({ preventScroll: true });
    this.asked++;
    this.putAway();
  }

  putAway() {
    for (const film of this.films) film.leave();
    this.films = [];
    // true of these two films alone
    for (const id of ["frame-this", "frame-other", "compare-rows"]) byId(id).replaceChildren();
  }

  /**
   * @param {string} which
   * @returns {Promise<any>} null when there is no answer
   */
  async ask(which) {
    const answer = await fetch(`${this.about.url}?with=${encodeURIComponent(which)}`, {
      credentials: "same-origin",
    }).catch(() => null);
    if (!answer?.ok) return (this.say("compare_fails"), null);
    return answer.json();
  }

  /** @param {string} instant */
  go(instant) {
    this.instant = instant;
    this.offset = 0;
    for (const row of all("tr", byId("compare-rows"))) row.hidden = row.dataset.at !== instant;
    this.show();
  }

  /** @param {number} by */
  step(by) {
    this.offset += by;
    this.show();
  }

  /** @param {"overlay"|"mirror"} what */
  turn(what) {
    if (what === "overlay") this.isOverlaid = !this.isOverlaid;
    else this.isMirrored = !this.isMirrored;
    this.show();
  }

  showLight() {
    byId("compare-lighter").setAttribute("aria-pressed", String(this.about.light.isOn));
    for (const film of this.films) film.viewport.ask();
  }

  show() {
    for (const button of all("#compare-instants button"))
      button.setAttribute("aria-pressed", String(button.dataset.instant === this.instant));
    byId("compare-overlay").setAttribute("aria-pressed", String(this.isOverlaid));
    byId("compare-mirror").setAttribute("aria-pressed", String(this.isMirrored));
    byId("side-other").classList.toggle("mirrored", this.isMirrored);
    const frames = this.films.length
      ? inStep(
          this.films.map(({ side, frames }) => ({
            ...side,
            time: (/** @type {number} */ frame) => frames.time(frame),
            count: frames.count,
          })),
          this.instant,
          this.offset,
        )
      : null;
    if (!frames) return this.films.length ? this.say("compare_no_instant") : undefined;
    this.say("");
    frames.forEach((frame, i) => {
      const film = this.films[i];
      byId(["frame-this", "frame-other"][i]).textContent = filled(this.about.messages.frame_of, {
        frame,
        all: film.reel.count,
      });
      void film.bodies.load(frame);
      void film.reel.show(frame).then(() => film.viewport.ask());
    });
  }

  /** @param {string} message  by name; "" for none */
  say(message) {
    byId("compare-words").textContent = message && this.about.messages[message];
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    if (
      event.ctrlKey ||
      event.metaKey ||
      event.altKey ||
      (event.target instanceof HTMLSelectElement && event.key.startsWith("Arrow"))
    )
      return;
    const act = /** @type {Record<string, () => void>} */ ({
      ArrowLeft: () => this.step(event.shiftKey ? -10 : -1),
      ArrowRight: () => this.step(event.shiftKey ? 10 : 1),
      o: () => this.turn("overlay"),
      m: () => this.turn("mirror"),
      L: () => this.about.light.turn(),
    });
    const instant = this.about.instants[Number(event.key) - 1];
    const does = act[event.key] ?? (instant ? () => this.go(instant) : null);
    if (!does) return;
    event.preventDefault();
    does();
  }
}

// @ts-check
/**
 * What can be taken back on the desk, and saying what was: the parts tell of what was done, and each step knows its way
 * back.
 */
import { History } from "./history.js";
import { byId, filled, hear } from "./page.js";

/**
 * @typedef {object} UndoingNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./cards.js").Cards} cards
 * @property {import("./write_up.js").WriteUp} writeUp
 * @property {import("./plan.js").Plan} plan
 * @property {import("./walk.js").Walk} walk
 * @property {import("./film.js").Film|null} film
 */

/**
 * @typedef {import("./history.js").Step} Step
 */

const SAID_MS = 5000;
const WRITTEN = /** @type {Record<string, string>} */ ({
  greeting: "did_greeting",
  good: "did_good",
  closing: "did_closing",
  pronoun: "did_pronoun",
});

export class Undoing extends History {
  /** @param {UndoingNeeds} parts */
  constructor(parts) {
    super();
    this.parts = parts;
    this.messages = parts.messages;
  }

  /** Ratings, words and drills; the film's part follows with `takeFilm`. */
  enable() {
    const { cards, writeUp, plan } = this.parts;
    hear(cards, "rated", (detail) => this.rated(detail));
    hear(writeUp, "changed", (detail) => this.written(detail));
    hear(plan, "changed", (detail) => this.planned(detail));
    document.addEventListener("focusout", () => this.left());
  }

  /** @param {import("./marks.js").Marks} marks */
  takeFilm(marks) {
    marks.addEventListener("done", (event) => {
      const { words, before, after } =
        /** @type {CustomEvent<{words: string, before: [number, any][], after: [number, any][]}>} */ (event).detail;
      const put = (/** @type {[number, any][]} */ all) => all.forEach(([frame, fields]) => marks.set(frame, fields));
      const typed = words === "did_caption" ? `caption:${after[0][0]}` : undefined;
      this.did({
        words: this.messages[words],
        undo: () => put(before),
        redo: () => put(after),
        place: { frame: after[0][0] },
        typed,
      });
    });
  }

  /**
   * @param {{id: string, was: import("./types.js").Rating|undefined, now: import("./types.js").Rating|undefined}}
   * detail
   */
  rated({ id, was, now }) {
    const { cards, data, messages } = this.parts;
    const { name, instant } = data.book[id];
    const isWords = (was?.rate ?? "") === (now?.rate ?? "");
    const rate = now?.rate ? messages[`key_${now.rate}`] : messages.did_no_rating;
    const words = filled(isWords ? messages.did_rating_words : messages.did_rating, { name, rate });
    const typed = isWords ? `rating:${id}` : undefined;
    this.did({
      words,
      undo: () => cards.put(id, was),
      redo: () => cards.put(id, now),
      place: { stop: instant, checkpoint: id },
      typed,
    });
  }

  /** @param {{name: string, value: any, was: any}} detail */
  written({ name, value, was }) {
    const { writeUp, messages } = this.parts;
    const put = (/** @type {any} */ held) => {
      writeUp.put({ [name]: held });
      if (name === "thing_checkpoint") this.parts.cards.setThing(held);
    };
    this.did({
      words: messages[WRITTEN[name] ?? "did_thing"],
      undo: () => put(was),
      redo: () => put(value),
      typed: name,
    });
  }

  /** @param {{drill: string, before: any, after: any}} detail */
  planned({ drill, before, after }) {
    const { plan, messages } = this.parts;
    const name = plan.drills.get(drill)?.title ?? drill;
    const kind = !before ? "did_assign" : after ? "did_drill" : "did_take_out";
    const typed = before && after ? `drill:${drill}` : undefined;
    this.did({
      words: filled(messages[kind], { name }),
      undo: () => plan.put(drill, before),
      redo: () => plan.put(drill, after),
      typed,
    });
  }

  /**
   * Undo or redo one step, show where it was, and say it.
   * @param {"undo"|"redo"} direction
   */
  step(direction) {
    const { film, walk, cards } = this.parts;
    film?.tools.letGo();
    if (direction === "undo" && film?.tools.tool === "plate" && walk.stop !== "preview" && film.tools.plate.back())
      return this.say("undid", this.messages.did_corner);
    const step = this[direction]();
    if (!step) return this.say(direction === "undo" ? "nothing_to_undo" : "nothing_to_redo", "");
    this.say(direction === "undo" ? "undid" : "redid", step.words);
    const { stop, checkpoint, frame } = step.place ?? {};
    if (stop && stop !== walk.stop) walk.go(stop);
    const point = checkpoint && cards.point(checkpoint);
    if (point) cards.attend(point);
    if (film && frame !== undefined && walk.stop !== "preview") void film.goTo(frame);
  }

  /**
   * @param {string} message
   * @param {string} what
   */
  say(message, what) {
    this.tell(filled(this.messages[message], { what }));
  }

  /**
   * A line over the page, for a while.
   * @param {string} words
   */
  tell(words) {
    const line = byId("said");
    line.textContent = words;
    clearTimeout(this.saying);
    this.saying = setTimeout(() => (line.textContent = ""), SAID_MS);
  }

  /** @type {ReturnType<typeof setTimeout>|undefined} */
  saying = undefined;
}

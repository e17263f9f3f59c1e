// @ts-check
/**
 * What can be taken back on the desk, and saying what was: the parts tell of what was done, and each step knows its way
 * back.
 */
import { History } from "./history.js";
import { keepSteps, keptSteps } from "./kept_steps.js";
import { moveOf } from "./moves.js";
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
 * @property {import("./corrections.js").Correcting|null} correcting
 * @property {import("./swing_bar.js").SwingBar} swingBar
 * @property {import("./counting.js").Counting} counting
 */

/**
 * @typedef {import("./history.js").Step} Step
 * @typedef {import("./history.js").Deed} Deed
 */

const SAID_MS = 5000;
const WRITTEN = /** @type {Record<string, string>} */ ({
  greeting: "did_greeting",
  good: "did_good",
  closing: "did_closing",
  pronoun: "did_pronoun",
  lighter_clips: "did_lighter",
});

export class Undoing extends History {
  /** @param {UndoingNeeds} parts */
  constructor(parts) {
    super();
    this.parts = parts;
    this.messages = parts.messages;
  }

  /**
   * How each kind of deed is put, before or after.
   * @type {Record<string, (held: any) => unknown>}
   */
  kinds = {
    rating: ([id, rating]) => this.parts.cards.put(id, rating ?? undefined),
    written: ([name, held]) => this.putWritten(name, held),
    drill: ([drill, held]) => this.parts.plan.put(drill, held ?? null),
    marks: (all) => {
      for (const [frame, fields] of all) this.parts.film?.marks.set(frame, fields);
    },
    move: (told) => {
      const move = moveOf(told);
      if (move) this.parts.correcting?.make(move);
    },
    swing: (change) => this.parts.swingBar.make(change),
    counting: ([index, counts]) => this.parts.counting.put(index, counts),
  };

  /**
   * A step that is told as data.
   * @param {string} words
   * @param {Deed} deed
   * @param {Pick<Step, "place"|"typed">} [more]
   */
  does(words, deed, more = {}) {
    this.did({ ...this.stepOf(words, [deed]), ...more });
  }

  /**
   * @param {string} words
   * @param {Deed[]} deeds
   * @returns {Step}
   */
  stepOf(words, deeds) {
    const put = (/** @type {string} */ kind, /** @type {any} */ held) => this.kinds[kind]?.(held);
    return {
      words,
      deeds,
      undo: () => [...deeds].reverse().forEach(({ kind, before }) => put(kind, before)),
      redo: () => deeds.forEach(({ kind, after }) => put(kind, after)),
    };
  }

  /** Ratings, words and drills; the film's part follows with `takeFilm`. */
  enable() {
    const { cards, writeUp, plan } = this.parts;
    hear(cards, "rated", (detail) => this.rated(detail));
    hear(writeUp, "changed", (detail) => this.written(detail));
    hear(plan, "changed", (detail) => this.planned(detail));
    document.addEventListener("focusout", () => this.left());
    if (this.parts.data.editable) this.goOn(sessionStorage, document.body.dataset.account ?? "");
  }

  /**
   * With what was done before the page was loaded again; the next page goes on in the same way.
   * @param {Storage} session
   * @param {string} account
   */
  goOn(session, account) {
    const { data } = this.parts;
    const { done, undone, saying } = keptSteps(session, data, account);
    const step = (/** @type {import("./history.js").Told} */ { words, place, deeds }) => ({
      ...this.stepOf(words, deeds),
      place,
    });
    this.done = done.map(step);
    this.undone = undone.map(step);
    if (saying) this.tell(saying);
    addEventListener("pagehide", () => keepSteps(session, data, account, { ...this.told(), saying: this.parting }));
  }

  /** What is said of a step that makes the desk anew, for the next page to say. */
  parting = "";

  /** @param {import("./marks.js").Marks} marks */
  takeFilm(marks) {
    marks.addEventListener("done", (event) => {
      const { words, before, after } =
        /** @type {CustomEvent<{words: string, before: [number, any][], after: [number, any][]}>} */ (event).detail;
      const typed = words === "did_caption" ? `caption:${after[0][0]}` : undefined;
      this.does(this.messages[words], { kind: "marks", before, after }, { place: { frame: after[0][0] }, typed });
    });
  }

  /**
   * @param {{id: string, was: import("./types.js").Rating|undefined, now: import("./types.js").Rating|undefined}}
   * detail
   */
  rated({ id, was, now }) {
    const { data, messages } = this.parts;
    const { name, instant } = data.book[id];
    const isWords = (was?.rate ?? "") === (now?.rate ?? "");
    const rate = now?.rate ? messages[`key_${now.rate}`] : messages.did_no_rating;
    const words = filled(isWords ? messages.did_rating_words : messages.did_rating, { name, rate });
    const typed = isWords ? `rating:${id}` : undefined;
    const deed = { kind: "rating", before: [id, was], after: [id, now] };
    this.does(words, deed, { place: { stop: instant, checkpoint: id }, typed });
  }

  /** @param {{name: string, value: any, was: any}} detail */
  written({ name, value, was }) {
    const deed = { kind: "written", before: [name, was], after: [name, value] };
    this.does(this.messages[WRITTEN[name] ?? "did_thing"], deed, { typed: name });
  }

  /**
   * @param {string} name
   * @param {any} held
   */
  putWritten(name, held) {
    this.parts.writeUp.put({ [name]: held });
    if (name === "thing_checkpoint") this.parts.cards.setThing(held);
  }

  /** @param {{drill: string, before: any, after: any}} detail */
  planned({ drill, before, after }) {
    const { plan, messages } = this.parts;
    const name = plan.drills.get(drill)?.title ?? drill;
    const kind = !before ? "did_assign" : after ? "did_drill" : "did_take_out";
    const typed = before && after ? `drill:${drill}` : undefined;
    const deed = { kind: "drill", before: [drill, before], after: [drill, after] };
    this.does(filled(messages[kind], { name }), deed, { typed });
  }

  /**
   * Undo or redo one step, show where it was, and say it.
   * @param {"undo"|"redo"} direction
   */
  step(direction) {
    const { film, walk, cards } = this.parts;
    film?.tools.letGo();
    if (direction === "undo" && film?.tools.tool === "plate" && walk.stop !== "preview" && film.tools.plate.back())
      return void this.say("undid", this.messages.did_corner);
    const step = this[direction]();
    if (!step) return void this.say(direction === "undo" ? "nothing_to_undo" : "nothing_to_redo", "");
    const words = this.say(direction === "undo" ? "undid" : "redid", step.words);
    this.parting = step.deeds?.some(({ kind }) => kind === "swing") ? words : "";
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
    const words = filled(this.messages[message], { what });
    this.tell(words);
    return words;
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

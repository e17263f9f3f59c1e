// @ts-check
/** Ratings and words: what a rating means for the write-up, the contact sheet's tally and what is saved. */
import { byId, filled, hear, later } from "./page.js";

/**
 * @typedef {object} ReviewingNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./cards.js").Cards} cards
 * @property {import("./write_up.js").WriteUp} writeUp
 * @property {import("./plan.js").Plan} plan
 * @property {import("./saving.js").Saving} saving
 * @property {import("./undoing.js").Undoing} undoing
 * @property {import("./walk.js").Walk} walk
 * @property {{show: () => unknown}} preview
 * @property {{show: () => void}} firstDraft
 */

export class Reviewing {
  /** @param {ReviewingNeeds} parts */
  constructor(parts) {
    this.parts = parts;
    this.data = parts.data;
    /** @type {{id: string, rate: string}|null} what the one thing was rated before it became so */
    this.before = null;
    this.previewSoon = later(() => parts.walk.stop === "preview" && parts.preview.show(), 300);
  }

  enable() {
    const { cards, writeUp, plan } = this.parts;
    hear(cards, "rated", (detail) => this.rated(detail));
    hear(cards, "thing", (id) => this.makeThing(id));
    hear(cards, "say", (id) => this.sayGood(id));
    hear(writeUp, "changed", (detail) => this.written(detail));
    hear(plan, "changed", (detail) => this.planned(detail));
    this.readAnew(); // the film may have been read again meanwhile
  }

  /** What is drafted and offered follows the side of the band on which the one thing now lies. */
  readAnew() {
    const { cards, writeUp, plan } = this.parts;
    writeUp.follow(cards.missed(writeUp.draft.thing_checkpoint));
    plan.showLibrary();
  }

  /** @param {{id: string, was: unknown}} detail */
  rated({ id, was }) {
    const rating = this.data.ratings[id] ?? { rate: "", words: "" };
    this.parts.saving.put(`rating:${id}`, "rating", { checkpoint: id, ...rating }, was);
    this.tally(this.data.book[id].instant);
    this.show();
  }

  /** @param {{name: string, value: unknown, was: unknown}} detail */
  written({ name, value, was }) {
    this.parts.saving.put(`draft:${name}`, "draft", { [name]: value }, was);
    if (name === "thing_words" || name === "thing_checkpoint") this.parts.plan.showLibrary();
    this.show();
    this.previewSoon();
  }

  /** @param {{was: unknown, drill: string, body: Record<string, unknown>}} detail */
  planned({ was, drill, body }) {
    this.parts.saving.put(`assignment:${drill}`, "assignment", body, was);
    this.parts.firstDraft.show();
    this.previewSoon();
  }

  /** @param {string} stop */
  tally(stop) {
    const { cards, messages } = this.parts;
    const link = document.querySelector(`.stop[data-stop="${stop}"]`);
    const [rated, of] = cards.counts(stop);
    const [marks, words] = [link?.querySelector("[data-tally]"), link?.querySelector("[data-tally-words]")];
    if (marks) marks.textContent = cards.tally(stop);
    if (words) words.textContent = filled(messages.rated_of, { rated, all: of });
  }

  /** @param {string} id */
  makeThing(id) {
    const { cards, writeUp, plan } = this.parts;
    const { name, instant } = this.data.book[id];
    if (!this.data.editable) return;
    this.parts.undoing.as(
      filled(this.parts.messages.did_make_thing, { name }),
      { stop: instant, checkpoint: id },
      () => {
        writeUp.choose(id, cards.missed(id));
        cards.setThing(id);
        this.workOn(id);
      },
    );
    plan.showLibrary();
    this.show();
  }

  /**
   * The one thing is to be worked on. What it was rated before comes back once another takes its place, for nobody has
   * said that the first is to be worked on, too.
   * @param {string} id
   */
  workOn(id) {
    const { ratings } = this.data;
    const left = this.before;
    if (left && left.id !== id && ratings[left.id]?.rate === "work_on") this.parts.cards.rate(left.id, left.rate);
    const rate = ratings[id]?.rate ?? "";
    if (left?.id !== id || rate !== "work_on") this.before = rate === "work_on" ? null : { id, rate };
    if (rate !== "work_on") this.parts.cards.rate(id, "work_on");
  }

  /** @param {string} id */
  sayGood(id) {
    if (!this.data.editable) return;
    this.parts.writeUp.addSentence(this.data.book[id].good_words);
    this.show();
  }

  /** How far the write-up is, and what it could say. */
  show() {
    const { writeUp } = this.parts;
    byId("write-up-state").textContent = writeUp.state();
    writeUp.suggest(this.data.ratings);
    this.parts.firstDraft.show();
  }
}

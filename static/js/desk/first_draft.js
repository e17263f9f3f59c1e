// @ts-check
/**
 * The first draft: what is still empty is filled from ratings, sides and the coach's own phrases, as one step that can
 * be undone. It rates nothing, and says nothing of a side that the film does not tell surely.
 * @typedef {import("./places.js").Phrase} Phrase
 */
import { FIT, fit } from "./fitting.js";
import { byId } from "./page.js";
import { filledIn } from "./places.js";

/**
 * @typedef {object} FirstDraftNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./cards.js").Cards} cards
 * @property {import("./write_up.js").WriteUp} writeUp
 * @property {import("./plan.js").Plan} plan
 * @property {import("./phrases.js").Phrases} phrases
 * @property {import("./undoing.js").Undoing} undoing
 * @property {import("./walk.js").Walk} walk
 * @property {{show: () => void}} reviewing
 * @property {{checkpoint: string, side: string}} aim
 */

const MOST_GOOD = 3;

export class FirstDraft {
  /** @param {FirstDraftNeeds} parts */
  constructor(parts) {
    this.parts = parts;
  }

  enable() {
    byId("first-draft").addEventListener("click", () => void this.make());
    this.show();
  }

  /** Offered while there is something to fill. */
  show() {
    const { draft } = this.parts.writeUp;
    const isWhole = Boolean(
      draft.greeting.trim() &&
      draft.good.length &&
      draft.thing_title.trim() &&
      draft.closing.trim() &&
      this.parts.plan.assignments.length,
    );
    byId("first-draft-offer").hidden = !this.parts.data.editable || isWhole;
  }

  async make() {
    const { parts } = this;
    await parts.phrases.load(); // without a line: from the book alone
    parts.undoing.as(parts.messages.did_first_draft, { stop: parts.walk.stop }, () => {
      this.thing();
      this.good();
      this.greeting();
      this.closing();
      this.drill();
    });
    parts.plan.show();
    parts.reviewing.show();
    byId("thing-title").focus({ preventScroll: true });
    byId("write-up").parentElement?.scrollTo(0, 0);
  }

  /** The first thing that is rated "work on", one on a sure side before others. */
  thing() {
    const { writeUp, cards, data } = this.parts;
    if (!writeUp.draft.thing_title.trim() && !writeUp.draft.thing_checkpoint) {
      const worst = Object.keys(data.book).filter((id) => data.ratings[id]?.rate === "work_on");
      const id = worst.find((one) => cards.missed(one)) ?? worst[0];
      if (!id) return;
      writeUp.choose(id, cards.missed(id));
      cards.setThing(id);
    }
    const id = writeUp.draft.thing_checkpoint;
    const side = id && cards.missed(id);
    const own =
      side && this.phrase((one) => one.checkpoint === id && one.side === side && ["thing", "point"].includes(one.part));
    if (own && writeUp.isOfBook) writeUp.put({ thing_words: `${own} ${data.book[id].why}` });
  }

  /** What is rated good: the coach's words on it, a phrase of theirs, or the book's. */
  good() {
    const { writeUp, data } = this.parts;
    if (writeUp.draft.good.length) return;
    const well = Object.keys(data.book).filter(
      (id) => data.ratings[id]?.rate === "good" && id !== writeUp.draft.thing_checkpoint,
    );
    const said = well.map(
      (id) =>
        data.ratings[id].words.trim() ||
        this.phrase((one) => one.checkpoint === id && one.side === "good") ||
        data.book[id].good_words,
    );
    if (said.length) writeUp.put({ good: [...new Set(said)].slice(0, MOST_GOOD) });
  }

  /** The page says "Hi" with the player's name by itself; what stands below it is the coach's own. */
  greeting() {
    const { writeUp } = this.parts;
    const own = writeUp.draft.greeting.trim() ? "" : this.phrase((one) => one.part === "greeting");
    if (own) writeUp.put({ greeting: own });
  }

  closing() {
    const { writeUp } = this.parts;
    const own = writeUp.draft.closing.trim() ? "" : this.phrase((one) => one.part === "closing");
    if (own) writeUp.put({ closing: own });
  }

  /** The first drill that helps on the side on which the one thing lies. */
  drill() {
    const { plan, aim } = this.parts;
    if (plan.assignments.length || !aim.checkpoint) return;
    const first = plan.bestDrill();
    if (first && aim.side && fit(first, aim.checkpoint, aim.side) < FIT.notSure) plan.assign(first.slug);
  }

  /**
   * The first phrase of this kind that can be filled: kept ones first, then what was written most often.
   * @param {(one: Phrase) => boolean} is
   */
  phrase(is) {
    const { phrases } = this.parts;
    const filling = phrases.filling(null);
    return (
      phrases.all
        .filter(is)
        .map((one) => filledIn(one.text, filling))
        .find(Boolean) ?? ""
    );
  }
}

// @ts-check
/**
 * The coach's phrase book while writing: the start of a phrase opens a list under the field; arrow keys choose, Enter
 * puts it in, Esc closes. Nothing is put in unasked, and nothing of the page moves: the list lies over it.
 * @typedef {import("./places.js").Phrase} Phrase
 * @typedef {HTMLInputElement|HTMLTextAreaElement} Box
 */
import { filled, made } from "./page.js";
import { begun, matching } from "./places.js";

/**
 * @typedef {object} PhrasesNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./cards.js").Cards} cards
 * @property {import("./write_up.js").WriteUp} writeUp
 * @property {import("./plan.js").Plan} plan
 */

const FIELDS = "#write-up textarea, #thing-title, #plan input[maxlength], [data-words]";

export class Phrases {
  /** @param {PhrasesNeeds} parts */
  constructor(parts) {
    this.parts = parts;
    /** @type {Phrase[]} */
    this.all = [];
    /** @type {Promise<void>|null} */
    this.asked = null;
    this.list = made("ul", {
      id: "phrase-list",
      class: "phrase-list",
      role: "listbox",
      "aria-label": parts.messages.phrases,
      hidden: true,
    });
    this.told = made("p", { class: "unseen", role: "status" });
    this.at = 0;
    /** @type {Box|null} */
    this.box = null;
  }

  enable() {
    document.body.append(this.list, this.told);
    document.addEventListener("focusin", (event) => isField(event.target) && void this.load());
    document.addEventListener(
      "input",
      (event) => isField(event.target) && this.offer(/** @type {Box} */ (event.target)),
    );
    document.addEventListener("keydown", (event) => this.press(event), true);
    document.addEventListener("focusout", () => this.close());
    addEventListener("resize", () => this.close());
    document.addEventListener("scroll", (event) => event.target !== this.list && this.close(), true);
    this.list.addEventListener("pointerdown", (event) => {
      event.preventDefault(); // the field keeps the focus
      const line = event.target instanceof Element && event.target.closest("li");
      if (line) this.put(line.textContent ?? "");
    });
  }

  /** Once, when the first field is gone to; without a line again at the next. */
  load() {
    this.asked ??= fetch(this.parts.data.urls.phrases)
      .then(async (answer) => {
        if (!answer.ok || answer.redirected) throw new Error(`phrases: ${answer.status}`);
        this.all = (await answer.json()).phrases;
      })
      .catch(() => {
        this.asked = null; // it is only an offer: the coach writes on
      });
    return this.asked;
  }

  /**
   * What the places are filled with, in this field.
   * @param {Element|null} box
   */
  filling(box) {
    const { data, cards, writeUp, plan } = this.parts;
    const point = /** @type {HTMLElement|null|undefined} */ (box?.closest("[data-checkpoint]"));
    const drill =
      /** @type {HTMLElement|null|undefined} */ (box?.closest("[data-drill]"))?.dataset.drill ??
      plan.assignments[0]?.drill ??
      "";
    const reading = cards.valueOf(point?.dataset.checkpoint ?? writeUp.draft.thing_checkpoint);
    const pronoun = writeUp.draft.pronoun || data.called_before;
    return { name: data.player, reading, drill: plan.drills.get(drill)?.title ?? "", pronoun };
  }

  /** @param {Box} box */
  offer(box) {
    const typed = begun(box.value, box.selectionEnd ?? box.value.length);
    const found = matching(this.all, typed, this.filling(box), partOf(box));
    if (!found.length) return this.close();
    this.box = box;
    this.list.replaceChildren(
      ...found.map((words, i) => made("li", { id: `phrase-${i}`, role: "option", text: words })),
    );
    box.setAttribute("aria-controls", this.list.id);
    box.setAttribute("aria-autocomplete", "list");
    this.list.hidden = false;
    this.lay(box);
    this.choose(0);
    this.told.textContent = filled(this.parts.messages.phrases_offered, { n: found.length });
  }

  /**
   * Under the field, or over it where there is no room.
   * @param {Box} box
   */
  lay(box) {
    const field = box.getBoundingClientRect();
    const { style, offsetHeight } = this.list;
    style.width = `${field.width}px`;
    style.left = `${field.left}px`;
    style.top = `${field.bottom + offsetHeight > innerHeight ? Math.max(field.top - offsetHeight, 0) : field.bottom}px`;
  }

  /** @param {number} at */
  choose(at) {
    const lines = [...this.list.children];
    this.at = (at + lines.length) % lines.length;
    lines.forEach((line, i) => line.setAttribute("aria-selected", String(i === this.at)));
    this.box?.setAttribute("aria-activedescendant", `phrase-${this.at}`);
  }

  close() {
    if (this.list.hidden) return;
    this.list.hidden = true;
    this.told.textContent = "";
    for (const name of ["aria-activedescendant", "aria-controls", "aria-autocomplete"]) this.box?.removeAttribute(name);
    this.box = null;
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    if (
      this.list.hidden ||
      event.target !== this.box ||
      event.ctrlKey ||
      event.metaKey ||
      event.altKey ||
      event.isComposing
    )
      return;
    const act = /** @type {Record<string, () => void>} */ ({
      ArrowDown: () => this.choose(this.at + 1),
      ArrowUp: () => this.choose(this.at - 1),
      Enter: () => this.put(this.list.children[this.at].textContent ?? ""),
      Escape: () => this.close(),
    })[event.key];
    if (!act) return;
    event.preventDefault();
    event.stopPropagation();
    act();
  }

  /**
   * The sentence in place of what was begun.
   * @param {string} words
   */
  put(words) {
    const { box } = this;
    if (!box) return;
    const caret = box.selectionEnd ?? box.value.length;
    const from = caret - begun(box.value, caret).length;
    this.close();
    const most = box.maxLength < 0 ? Infinity : box.maxLength;
    if (box.value.length - (caret - from) + words.length > most) return;
    box.setRangeText(words, from, caret, "end");
    box.dispatchEvent(new Event("input", { bubbles: true })); // saved and undone like typing
    this.close();
  }
}

/** @param {EventTarget|null} target */
const isField = (target) => target instanceof Element && target.matches(FIELDS);

/**
 * Which part of the evaluation a field belongs to.
 * @param {Element} box
 */
function partOf(box) {
  if (box.matches("[data-words]")) return "point";
  if (box.closest("#plan")) return "drill";
  if (box.closest("#good")) return "good";
  return box.id === "greeting" || box.id === "closing" ? box.id : "thing";
}

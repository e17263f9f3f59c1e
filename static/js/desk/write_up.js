// @ts-check
/**
 * The write-up: it grows while the coach walks. Good things are sentences of their own; what was rated good offers the
 * book's sentence, and the coach's own words always stand above it.
 * @typedef {import("./types.js").Draft} Draft
 * @typedef {import("./types.js").Entry} Entry
 */
import { all, byId, field, filled, made } from "./page.js";

export class WriteUp extends EventTarget {
  /**
   * @param {Draft} draft
   * @param {Record<string, Entry>} book
   * @param {Record<string, string>} messages
   * @param {boolean} editable
   */
  constructor(draft, book, messages, editable) {
    super();
    this.draft = draft;
    this.book = book;
    this.messages = messages;
    this.editable = editable;
    this.fields = all("[data-draft]");
    for (const input of this.fields) this.wire(/** @type {HTMLInputElement} */ (input));
    byId("good-add").addEventListener("click", () => this.addSentence(""));
    this.showSentences();
    this.showThing();
  }

  /** @param {HTMLInputElement} input */
  wire(input) {
    const name = /** @type {keyof Draft} */ (input.dataset.draft);
    put(input, this.draft[name]);
    const save = () => {
      this.set({ [name]: input.type === "checkbox" ? this.ticked(name) : input.value });
      if (name === "thing_words") this.showThing();
    };
    for (const typed of ["input", "change"]) input.addEventListener(typed, save);
  }

  /**
   * Boxes of one name are a list: the values that are ticked.
   * @param {string} name
   */
  ticked(name) {
    const boxes = /** @type {HTMLInputElement[]} */ (all(`[data-draft="${name}"]`));
    return boxes.filter((box) => box.checked).map((box) => box.value);
  }

  /**
   * Take over fields and tell which changed.
   * @param {Partial<Draft>} fields
   */
  set(fields) {
    for (const [name, value] of Object.entries(fields)) {
      const was = /** @type {any} */ (this.draft)[name];
      if (JSON.stringify(was) === JSON.stringify(value)) continue;
      /** @type {any} */ (this.draft)[name] = value;
      this.dispatchEvent(new CustomEvent("changed", { detail: { name, value, was } }));
    }
  }

  /** Fields show what the draft holds (after something else set it). */
  refill() {
    for (const input of this.fields)
      put(/** @type {HTMLInputElement} */ (input), this.draft[/** @type {keyof Draft} */ (input.dataset.draft)]);
  }

  /**
   * Fields as they were, or are again: held and shown.
   * @param {Partial<Draft>} fields
   */
  put(fields) {
    this.set(fields);
    this.refill();
    if (fields.good) this.showSentences();
    this.showThing();
  }

  /** @param {string} sentence */
  addSentence(sentence) {
    if (sentence && this.draft.good.includes(sentence)) return;
    if (sentence) this.set({ good: [...this.draft.good, sentence] });
    this.showSentences(!sentence);
  }

  /** @param {boolean} [withEmpty]  one more, empty line to write in */
  showSentences(withEmpty = false) {
    const list = byId("good");
    const sentences = withEmpty ? [...this.draft.good, ""] : this.draft.good;
    list.replaceChildren(...sentences.map((sentence, i) => this.line(sentence, i)));
    if (withEmpty) /** @type {HTMLElement|null} */ (list.querySelector("li:last-child textarea"))?.focus();
  }

  /**
   * @param {string} sentence
   * @param {number} i
   */
  line(sentence, i) {
    const label = filled(this.messages.sentence, { n: i + 1 });
    const box = made("textarea", { rows: 2, maxlength: 400, "aria-label": label });
    box.value = sentence;
    const save = () => this.readSentences();
    for (const typed of ["input", "change"]) box.addEventListener(typed, save);
    const remove = made("button", {
      type: "button",
      class: "quiet",
      "aria-label": `${this.messages.remove}: ${label}`,
      text: "×",
    });
    remove.addEventListener("click", () => {
      box.value = "";
      this.readSentences();
      this.showSentences();
      byId("good-add").focus();
    });
    return made("li", {}, box, remove);
  }

  readSentences() {
    const boxes = /** @type {HTMLTextAreaElement[]} */ (all("#good textarea"));
    this.set({ good: boxes.map((box) => box.value.trim()).filter(Boolean) });
  }

  /**
   * Sentences of the book for what is rated good and not said yet.
   * @param {Record<string, {rate: string}>} ratings
   */
  suggest(ratings) {
    const good = Object.keys(ratings).filter((id) => ratings[id].rate === "good" && this.book[id]);
    const open = good
      .map((id) => this.book[id].good_words)
      .filter((words) => words && !this.draft.good.includes(words));
    byId("suggestions").replaceChildren(
      ...open.map((words) => {
        const add = made(
          "button",
          { type: "button", class: "suggestion" },
          made("span", { "aria-hidden": "true", text: "+" }),
          " ",
          words,
        );
        add.addEventListener("click", () => this.addSentence(words));
        return made("li", {}, add);
      }),
    );
  }

  /**
   * The one thing: words of the book stand in where the coach has written none of their own. What to do depends on the
   * side of the band; where the clip does not tell it surely, the coach is asked.
   * @param {string} id
   * @param {string} side  "low", "high" or ""
   */
  choose(id, side) {
    const [before, now] = [this.book[this.draft.thing_checkpoint], this.book[id]];
    this.set({ thing_checkpoint: id });
    if (isTitleOfBook(this.draft.thing_title, before)) this.set({ thing_title: titleOf(now, side) });
    if (isOfBook(this.draft.thing_words, before)) this.set({ thing_words: wordsOf(now, side) });
    this.refill();
    this.showThing();
  }

  /**
   * The book's sentence for the one thing never stays when a fault would lie on the other side by now.
   * @param {string} side  "low", "high" or "" where it is not sure
   */
  follow(side) {
    const thing = this.book[this.draft.thing_checkpoint];
    if (!this.editable || !thing || !side) return;
    const other = side === "low" ? "high" : "low";
    if (this.draft.thing_words === wordsOf(thing, other)) this.set({ thing_words: wordsOf(thing, side) });
    if (this.draft.thing_title === titleOf(thing, other)) this.set({ thing_title: titleOf(thing, side) });
    this.refill();
  }

  /**
   * On which side of its band the one thing lies; where it may be either, the one whose words the coach took.
   * @param {string} missed  the side on which a fault would lie: "low", "high" or ""
   */
  side(missed) {
    const thing = this.book[this.draft.thing_checkpoint];
    if (missed || !thing) return missed;
    const taken = SIDES.filter((side) => thing.words[side] && this.draft.thing_words.includes(thing.words[side]));
    return taken.length === 1 ? taken[0] : "";
  }

  /** Whether the one thing's words are the book's, or none yet. */
  get isOfBook() {
    return isOfBook(this.draft.thing_words, this.book[this.draft.thing_checkpoint]);
  }

  showThing() {
    const thing = this.book[this.draft.thing_checkpoint];
    byId("thing-from").textContent = thing?.name ?? "";
    const isOpen = this.editable && thing !== undefined && this.draft.thing_words.trim() === thing.why;
    byId("thing-sides").hidden = !isOpen;
    byId("thing-sides")
      .querySelector("ul")
      ?.replaceChildren(...(isOpen ? SIDES.map((side) => this.suggestion(thing, side)) : []));
  }

  /**
   * What the one thing says for one side of its band, to be taken over.
   * @param {Entry} thing
   * @param {"low"|"high"} side
   */
  suggestion(thing, side) {
    const take = made(
      "button",
      { type: "button", class: "suggestion" },
      made("span", { "aria-hidden": "true", text: "+" }),
      " ",
      thing.words[side],
    );
    take.addEventListener("click", () => {
      this.set({ thing_words: wordsOf(thing, side) });
      if (isTitleOfBook(this.draft.thing_title, thing)) this.set({ thing_title: titleOf(thing, side) });
      this.refill();
      this.showThing();
      byId("thing-words").focus();
    });
    return made("li", {}, take);
  }

  /** "Write-up: 2 good, one thing chosen" */
  state() {
    const thing = this.draft.thing_title.trim() ? this.messages.thing_chosen : this.messages.thing_open;
    return filled(this.messages.write_up_state, { good: this.draft.good.length, thing });
  }

  /** Put the focus on the first field. */
  focus() {
    field("greeting").focus();
  }
}

/**
 * @param {HTMLInputElement} input
 * @param {unknown} held
 */
function put(input, held) {
  if (input.type === "checkbox") input.checked = Array.isArray(held) && held.includes(input.value);
  else if (input.value !== String(held)) input.value = String(held);
}

const SIDES = /** @type {const} */ (["low", "high"]);

/**
 * @param {Entry} entry
 * @param {string} side  where it is not sure, only why it matters; what the eye rates has no sides
 */
function wordsOf(entry, side) {
  const { low, high } = entry.words;
  const words = side === "low" || low === high ? low : side === "high" ? high : "";
  return `${words} ${entry.why}`.trim();
}

/**
 * Whether these words, if any, are the book's own for the checkpoint chosen before.
 * @param {string} words
 * @param {Entry|undefined} before
 */
const isOfBook = (words, before) =>
  !words.trim() || (before !== undefined && ["low", "high", ""].some((side) => words === wordsOf(before, side)));

/**
 * The headline: what to change; where the side is not sure, only what it is about.
 * @param {Entry} entry
 * @param {string} side
 */
function titleOf(entry, side) {
  const { low, high } = entry.headlines;
  return (side === "low" || low === high ? low : side === "high" ? high : "") || entry.name;
}

/**
 * @param {string} title
 * @param {Entry|undefined} before
 */
const isTitleOfBook = (title, before) =>
  !title.trim() || (before !== undefined && ["low", "high", ""].some((side) => title === titleOf(before, side)));

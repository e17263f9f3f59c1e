// @ts-check
/**
 * The line about the swing itself: taking out what is none, putting it back, and marking one that was not found from
 * its first to its last frame. A swing keeps its number when another goes or comes, so that nothing said of it moves.
 * @typedef {import("./types.js").Swing} Swing
 * @typedef {import("./types.js").Corrections} Corrections
 */
import { moveOf, swingAdded, swingBack, swingOut } from "./moves.js";
import { byId, filled, made } from "./page.js";
import { notice } from "./status.js";

/**
 * @typedef {object} SwingBarNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./corrections.js").Correcting|null} correcting
 * @property {import("./film.js").Film|null} film
 * @property {{toSwing: (index: number) => unknown}} leaving
 * @property {import("./undoing.js").Undoing} undoing
 */

/** @typedef {{told: import("./moves.js").Told, wanted: number|null}} Change  with the swing to look at then, if any */

const LEAST_FRAMES = 4; // analysis.read.corrections asks for so many

export class SwingBar {
  /** @param {SwingBarNeeds} parts */
  constructor(parts) {
    this.parts = parts;
    this.messages = parts.messages;
    /** @type {number|null} first frame of a swing that is being marked */
    this.first = null;
    this.isMarking = false;
    /** @type {Set<number>} the swings that the desk knows of */
    this.known = new Set(parts.data.swings.map((swing) => swing.index));
    /** @type {number|"new"|null} the swing that the coach waits for */
    this.wanted = null;
    this.isGoing = false;
  }

  enable() {
    const dialog = document.getElementById("not-a-swing");
    if (!(dialog instanceof HTMLDialogElement)) return;
    byId("not-a-swing-yes").addEventListener("click", () => {
      dialog.close();
      this.remove();
    });
    this.showOut(this.parts.correcting?.now ?? {});
    this.show();
  }

  get canChange() {
    return Boolean(this.parts.film && this.parts.correcting && this.parts.data.editable);
  }

  /** What can be done now, in words and buttons. */
  show() {
    if (!document.getElementById("swing-bar") || !this.parts.data.editable) return;
    const { swing } = this.parts.film ?? this.parts.data; // the film may still be on its way
    const isMarking = this.isMarking || !swing;
    byId("swing-words").textContent = isMarking ? this.markingWords(Boolean(swing)) : "";
    byId("not-swing").hidden = isMarking;
    byId("mark-swing").textContent =
      this.messages[!isMarking ? "swing_add" : this.first === null ? "swing_first" : "swing_last"];
    byId("mark-swing").toggleAttribute("data-now", isMarking);
    byId("stop-marking").hidden = !this.isMarking;
  }

  /** @param {boolean} hasSwing */
  markingWords(hasSwing) {
    if (this.first !== null) return filled(this.messages.swing_mark_last, { frame: this.first });
    return this.messages[hasSwing ? "swing_mark_first" : "swing_none"];
  }

  /**
   * Swings that were taken out, each with the way back.
   * @param {Corrections} corrections
   */
  showOut(corrections) {
    const out = [...(corrections.remove_swings ?? [])].sort((a, b) => a - b);
    byId("swings-out").replaceChildren(...out.map((index) => this.outLine(index)));
    byId("swings-out").hidden = !out.length;
  }

  /** @param {number} index */
  outLine(index) {
    const words = filled(this.messages.swing_is_out, { n: index + 1 });
    const back = made("button", { type: "button", text: this.messages.swing_put_back });
    back.append(made("span", { class: "unseen", text: ` ${words}` }));
    back.addEventListener("click", () => this.putBack(index));
    return made("li", {}, made("span", { text: words }), back);
  }

  /** @param {number} index */
  putBack(index) {
    if (this.canChange) this.change("did_swing_back", index, isOut(index), isIn(index));
  }

  /** @param {Change} change */
  make({ told, wanted }) {
    const move = moveOf(told);
    if (!move) return;
    this.wanted = wanted;
    this.parts.correcting?.make(move);
  }

  /**
   * A change that can be taken back, also by the desk that is made anew around another swing.
   * @param {string} words
   * @param {number} index
   * @param {Change} before
   * @param {Change} after
   */
  change(words, index, before, after) {
    this.parts.undoing.does(filled(this.messages[words], { n: index + 1 }), { kind: "swing", before, after });
    this.make(after);
  }

  // ------------------------------------------------------------------ taking out

  askRemove() {
    const dialog = document.getElementById("not-a-swing");
    if (this.canChange && this.parts.film?.swing && dialog instanceof HTMLDialogElement) dialog.showModal();
  }

  remove() {
    const swing = this.parts.film?.swing;
    if (swing && this.canChange) this.change("did_swing_out", swing.index, isIn(swing.index), isOut(swing.index));
  }

  // --------------------------------------------------------------------- marking

  /** First "add", then "the first frame is here", then "the last frame is here". */
  mark() {
    const { film } = this.parts;
    if (!film || !this.canChange || film.frame < 0) return;
    if (!this.isMarking && film.swing) this.isMarking = true;
    else if (this.first === null) [this.isMarking, this.first] = [true, film.frame];
    else this.add(this.first, film.frame);
    this.show();
  }

  stopMarking() {
    [this.isMarking, this.first] = [false, null];
    this.show();
    byId("mark-swing").focus({ preventScroll: true }); // the button that was pressed is gone
  }

  /**
   * @param {number} first
   * @param {number} last
   */
  add(first, last) {
    if (last - first + 1 < LEAST_FRAMES) return notice(filled(this.messages.swing_too_short, { frame: first }));
    document.getElementById("desk-notice")?.remove();
    [this.isMarking, this.first, this.wanted] = [false, null, "new"];
    this.parts.correcting?.make(swingAdded(first, last));
  }

  // --------------------------------------------------------------- what came of it

  /**
   * Its number is known once it is read. Undone it is taken out, so that those added behind it keep theirs.
   * @param {number} index
   * @param {number} here  the swing on the desk before
   */
  noteAdded(index, here) {
    const words = filled(this.messages.did_swing_added, { n: index + 1 });
    this.parts.undoing.does(words, { kind: "swing", before: { ...isOut(index), wanted: here }, after: isIn(index) });
  }

  /**
   * New readings have come. Gives back whether the desk is made anew because of them: other swings are there now.
   * @param {import("./types.js").Standing} standing
   */
  take({ result: { swings }, corrections, moved = {} }) {
    this.showOut(corrections);
    this.show();
    if (this.isGoing) return true;
    const { wanted } = this;
    const { undoing, data, correcting } = this.parts;
    const fresh = swings.filter((swing) => !this.known.has(swing.index));
    const here = data.swing_index;
    const isSame = !fresh.length && swings.length === this.known.size && !(here in moved);
    if (!isSame || correcting?.isClean) this.wanted = null; // else what the coach waits for is not read yet
    if (isSame) return false;
    if (Object.keys(moved).length) undoing.forget(); // its steps name swings by numbers of before
    const added = wanted === "new" ? fresh.at(-1) : undefined;
    if (added) this.noteAdded(added.index, here);
    const at = typeof wanted === "number" ? wanted : (moved[here] ?? here);
    const next = added ?? swings.find((swing) => swing.index === at);
    this.isGoing = true;
    void this.parts.leaving.toSwing((next ?? best(swings))?.index ?? 0);
    return true;
  }
}

/**
 * @param {number} index
 * @returns {Change}
 */
const isOut = (index) => ({ told: swingOut(index).told, wanted: null });

/**
 * @param {number} index
 * @returns {Change}
 */
const isIn = (index) => ({ told: swingBack(index).told, wanted: index });

/**
 * The swing to look at first: as portal/desk/swings.py chooses it.
 * @param {Swing[]} swings
 */
const best = (swings) => swings.filter((swing) => swing.reaches_contact).at(-1) ?? swings[0];

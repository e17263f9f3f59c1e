// @ts-check
/**
 * Which swings of the clip the numbers are made of. A press leaves one out or lets it count again: at once in the row,
 * with the draft on its way, and in the numbers when the draft holds it.
 */
import { all, filled } from "./page.js";

/**
 * @typedef {object} CountingNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./saving.js").Saving} saving
 * @property {import("./undoing.js").Undoing} undoing
 * @property {{freshCards: () => Promise<void>}} byHand
 * @property {{previewSoon: () => void}} reviewing
 */

export class Counting {
  /** @param {CountingNeeds} parts */
  constructor(parts) {
    this.parts = parts;
    this.messages = parts.messages;
    /** @type {Record<string, boolean>} */
    this.counts = parts.data.counting;
    this.isBehind = false;
  }

  enable() {
    for (const button of this.buttons)
      button.addEventListener("click", () => this.toggle(Number(button.dataset.count)));
    this.parts.saving.addEventListener("settled", () => void this.follow());
    this.show();
  }

  get buttons() {
    return all("#counting [data-count]");
  }

  /** @param {number} index */
  toggle(index) {
    const { data, undoing } = this.parts;
    if (!data.editable || !data.clip || !(index in this.counts) || this.buttons.length < 2) return;
    const counts = !this.counts[index];
    if (!counts && Object.values(this.counts).filter(Boolean).length < 2)
      return undoing.tell(this.messages.last_counts);
    this.put(index, counts);
    const words = filled(this.messages[counts ? "did_let_count" : "did_leave_out"], { n: index + 1 });
    undoing.does(words, { kind: "counting", before: [index, !counts], after: [index, counts] });
    undoing.tell(words);
  }

  /**
   * @param {number} index
   * @param {boolean} counts
   */
  put(index, counts) {
    const was = this.counts[index];
    const clip = this.parts.data.clip?.id ?? "";
    this.counts[index] = counts;
    this.isBehind = true;
    this.show();
    this.parts.saving.put(`counting:${clip}:${index}`, "counting", { clip, swing: index, counts }, was);
  }

  show() {
    for (const button of this.buttons) {
      const index = Number(button.dataset.count);
      const counts = this.counts[index];
      button.setAttribute("aria-pressed", String(counts));
      button.setAttribute(
        "aria-label",
        filled(this.messages[counts ? "swing_counts" : "swing_left_out"], { n: index + 1 }),
      );
      button.title = button.getAttribute("aria-label") ?? "";
    }
  }

  /** The numbers follow once the draft holds what was pressed. */
  async follow() {
    if (!this.isBehind || !this.parts.saving.isClean) return;
    this.isBehind = false;
    await this.parts.byHand.freshCards();
    this.parts.reviewing.previewSoon();
  }
}

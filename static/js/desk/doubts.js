// @ts-check
/**
 * What the second look found in the draft: named beside the button that publishes, told one by one where it is
 * confirmed, each with the way to its place. None of it keeps the coach from publishing.
 */
import { all, byId } from "./page.js";

const PATIENCE_MS = 3000; // for a look under way; a site that does not answer keeps nobody from the button

/**
 * @typedef {object} DoubtsNeeds  what it needs of the other parts of the desk
 * @property {import("./walk.js").Walk} walk
 * @property {import("./cards.js").Cards} cards
 * @property {import("./film.js").Film|null} film
 * @property {import("./preview.js").Preview} preview
 */

export class Doubts {
  /** @param {DoubtsNeeds} parts */
  constructor(parts) {
    this.parts = parts;
    this.dialog = /** @type {HTMLDialogElement|null} */ (document.getElementById("publish-dialog"));
    /** @type {(() => void)|null} what came while somebody read the last look */
    this.later = null;
  }

  /**
   * The newest look, as the preview brings it. Nothing changes under somebody who reads: it waits until they are done.
   * @param {Element|null} list
   */
  take(list) {
    if (!this.dialog) return;
    this.later = this.dialog.open ? () => this.take(list) : null;
    if (this.later) return;
    const found = list ? [...list.children] : [];
    const open = byId("doubts-open");
    open.hidden = byId("doubts").hidden = !found.length;
    open.textContent = byId("doubts-title").textContent = list?.getAttribute("data-title") ?? "";
    byId("doubts-list").replaceChildren(...found);
    byId("publish-words").hidden = found.length > 0;
    byId("publish-anyway").hidden = !found.length;
    for (const link of all("a", byId("doubts-list")))
      link.addEventListener("click", (event) => this.click(event, link));
  }

  enable() {
    if (!this.dialog) return;
    for (const id of ["doubts-open", "publish-open"]) byId(id).addEventListener("click", () => void this.show());
    this.dialog.addEventListener("close", () => this.later?.());
  }

  /** Enter reads the first doubt before it publishes. A look that is on its way comes first. */
  async show() {
    await Promise.race([this.parts.preview.looked, new Promise((go) => setTimeout(go, PATIENCE_MS))]);
    if (this.dialog?.open === false) this.dialog.showModal();
    /** @type {HTMLElement|null} */ (byId("doubts-list").querySelector("a"))?.focus();
  }

  /**
   * A plain click goes there in this window.
   * @param {MouseEvent} event
   * @param {HTMLElement} link
   */
  click(event, link) {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    this.dialog?.close();
    void this.go(link.dataset);
  }

  /** @param {DOMStringMap} place */
  async go({ stop = "", anchor = "", frame }) {
    const { walk, film, cards } = this.parts;
    walk.go(stop);
    if (frame && stop !== "preview") await film?.goTo(Number(frame));
    const there = document.getElementById(anchor);
    if (!there) return;
    if (there.matches(".point")) cards.attend(there);
    there.closest("details")?.setAttribute("open", "");
    if (there instanceof HTMLDetailsElement) there.open = true;
    const held = there.matches("input, textarea, summary, [tabindex]")
      ? there
      : there.querySelector("summary, textarea, input");
    /** @type {HTMLElement} */ (held ?? there).focus();
    there.scrollIntoView({ block: "nearest" });
  }
}

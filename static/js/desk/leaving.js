// @ts-check
/**
 * Leaving the desk without losing anything: what waits is sent when the page goes out of sight, forms wait for it, and
 * who leaves while the line is down is warned. The browser keeps all of it in any case.
 */
import { byId, made } from "./page.js";
import { account, csrfToken } from "./line.js";
import { notice } from "./status.js";

/**
 * @typedef {object} LeavingNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./saving.js").Saving} saving
 * @property {import("./corrections.js").Correcting|null} correcting
 * @property {import("./walk.js").Walk} walk
 * @property {boolean} isClean
 */

export class Leaving {
  isLeaving = false;

  /** @param {LeavingNeeds} parts */
  constructor(parts) {
    this.parts = parts;
  }

  enable() {
    addEventListener("beforeunload", (event) => {
      if (!this.isLeaving && !this.isSafe) event.preventDefault();
    });
    addEventListener("pagehide", () => this.flush());
    document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && this.flush());
    const swing = document.getElementById("swing-choice");
    swing?.addEventListener("change", () => void this.with(/** @type {HTMLFormElement} */ (byId("swing-form"))));
    document.addEventListener("submit", ({ target }) => target instanceof HTMLFormElement && asOurs(target));
    this.wirePublish();
    this.wireGive();
  }

  /** Nothing waits; or what waits is on its way and kept in the browser. */
  get isSafe() {
    const { saving, correcting, isClean } = this.parts;
    return isClean || (saving.pending.isKept && !saving.isDown && !correcting?.isDown);
  }

  /** All that waits goes out, one after the other. */
  sendWaiting() {
    this.parts.saving.go();
    this.parts.correcting?.go();
  }

  /** The page may not come back: all goes out now, whatever is under way. */
  flush() {
    this.parts.saving.flush();
    this.parts.correcting?.flush();
  }

  /**
   * Send a form once everything is saved.
   * @param {HTMLFormElement} form
   */
  async with(form) {
    const { saving, correcting, messages } = this.parts;
    if (!((await correcting?.settled()) ?? true) || !(await saving.settled())) return notice(messages.wait_saving);
    this.isLeaving = true;
    asOurs(form);
    form.submit();
  }

  /**
   * Another swing of this clip comes to the desk.
   * @param {number} index
   */
  toSwing(index) {
    const { data, walk } = this.parts;
    const given = { csrfmiddlewaretoken: csrfToken(), choice: `${data.clip?.id}:${index}`, stop: walk.stop };
    const inputs = Object.entries(given).map(([name, value]) => made("input", { type: "hidden", name, value }));
    const form = made("form", { method: "post", action: data.urls.swing, hidden: true }, ...inputs);
    document.body.append(form);
    return this.with(form);
  }

  wirePublish() {
    const dialog = document.getElementById("publish-dialog");
    if (!(dialog instanceof HTMLDialogElement)) return;
    const form = /** @type {HTMLFormElement} */ (byId("publish-form"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      dialog.close();
      void this.publish(form);
    });
  }

  /** Another coach gets all of it: nothing of it may still be on its way. */
  wireGive() {
    const dialog = document.getElementById("give-dialog");
    if (!(dialog instanceof HTMLDialogElement)) return;
    byId("give-open").addEventListener("click", () => dialog.showModal());
    byId("give-form").addEventListener("submit", (event) => {
      event.preventDefault();
      dialog.close();
      void this.with(/** @type {HTMLFormElement} */ (event.target));
    });
  }

  /**
   * The draft as this window last knew it.
   * @param {HTMLFormElement} form
   */
  async publish(form) {
    const { saving } = this.parts;
    if (await saving.settled())
      /** @type {HTMLInputElement} */ (form.elements.namedItem("version")).value = String(saving.version);
    await this.with(form);
  }
}

/**
 * A form of this page: with the token of now, for signing in once more brings a new one, and with whose page it is.
 * @param {HTMLFormElement} form
 */
function asOurs(form) {
  const token = form.elements.namedItem("csrfmiddlewaretoken");
  if (!(token instanceof HTMLInputElement)) return;
  token.value = csrfToken();
  if (!form.elements.namedItem("account"))
    form.append(made("input", { type: "hidden", name: "account", value: account() }));
}

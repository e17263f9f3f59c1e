// @ts-check
/** Leaving the desk without losing anything: a warning while something is under way, and forms that wait for it. */
import { byId, made } from "./page.js";
import { csrfToken } from "./saving.js";
import { notice } from "./status.js";

export class Leaving {
  isLeaving = false;

  /** @param {import("./desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
  }

  enable() {
    addEventListener("beforeunload", (event) => {
      if (!this.isLeaving && !this.desk.isClean) event.preventDefault();
    });
    const swing = document.getElementById("swing-choice");
    swing?.addEventListener("change", () => void this.with(/** @type {HTMLFormElement} */ (byId("swing-form"))));
    this.wirePublish();
  }

  /** Send a form once everything is saved. @param {HTMLFormElement} form */
  async with(form) {
    await this.desk.correcting?.settled();
    if (!(await this.desk.saving.settled())) return notice(this.desk.messages.wait_saving);
    this.isLeaving = true;
    form.submit();
  }

  /** Another swing of this clip comes to the desk. @param {number} index */
  toSwing(index) {
    const { data, walk } = this.desk;
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

  /** The draft as this window last knew it. @param {HTMLFormElement} form */
  async publish(form) {
    const { saving } = this.desk;
    if (await saving.settled()) /** @type {HTMLInputElement} */ (form.elements.namedItem("version")).value = String(saving.version);
    await this.with(form);
  }
}

// @ts-check
/**
 * What the coach moves by hand. Each change is a function of the corrections, so that it can be made again on top of what
 * another window moved meanwhile; one goes out after the other, and the readings come back with it.
 * @typedef {import("./types.js").Corrections} Corrections
 * @typedef {(now: Corrections) => Corrections} Move
 * @typedef {import("./types.js").Standing} Standing
 */
import { csrfToken } from "./saving.js";

const WAIT_MS = 3000;

export class Correcting extends EventTarget {
  /** @param {string} url @param {Corrections} corrections @param {number} version */
  constructor(url, corrections, version) {
    super();
    this.url = url;
    this.corrections = corrections;
    this.version = version;
    /** @type {Move[]} */
    this.waiting = [];
    this.isBusy = false;
  }

  /** The corrections as they will be when all that waits is read. */
  get now() {
    return this.waiting.reduce((held, move) => move(held), this.corrections);
  }

  get isClean() {
    return this.waiting.length === 0;
  }

  /** @param {Move} move */
  make(move) {
    this.waiting.push(move);
    this.dispatchEvent(new Event("moved"));
    void this.send();
  }

  /** Resolves when nothing waits any more. @returns {Promise<void>} */
  async settled() {
    if (this.isBusy) await new Promise((done) => this.addEventListener("settled", done, { once: true }));
  }

  async send() {
    if (this.isBusy) return;
    this.isBusy = true;
    this.dispatchEvent(new Event("reading"));
    let refusals = 0;
    while (this.waiting.length) {
      const count = this.waiting.length;
      const answer = await this.post(this.now);
      if (!answer || answer.status >= 500 || answer.status === 401 || answer.status === 403) {
        const words = answer?.status === 507 ? (await answer.json().catch(() => ({}))).words : "";
        this.dispatchEvent(new CustomEvent("trouble", { detail: words ?? "" }));
        await new Promise((done) => setTimeout(done, WAIT_MS));
        continue;
      }
      const said = await answer.json().catch(() => ({}));
      if (answer.status === 409 && said.corrections && refusals++ < 3) {
        [this.corrections, this.version] = [said.corrections, said.version];
        continue; // made again on top of the newest
      }
      this.waiting.splice(0, count);
      if (answer.ok) this.take(said);
      else this.dispatchEvent(new CustomEvent("refused", { detail: said.words ?? "" }));
    }
    this.isBusy = false;
    this.dispatchEvent(new Event("settled"));
  }

  /** @param {Standing} standing */
  take(standing) {
    [this.corrections, this.version] = [standing.corrections, standing.version];
    this.dispatchEvent(new CustomEvent("read", { detail: standing }));
  }

  /** @param {Corrections} corrections */
  async post(corrections) {
    const headers = { "Content-Type": "application/json", "X-CSRFToken": csrfToken() };
    const body = JSON.stringify({ version: this.version, corrections });
    try {
      return await fetch(this.url, { method: "POST", headers, body, credentials: "same-origin" });
    } catch {
      return null;
    }
  }
}

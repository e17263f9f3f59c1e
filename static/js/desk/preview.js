// @ts-check
/** The last stop: the evaluation as the player will see it, made by the server from what is saved. */
import { byId, made, parsed } from "./page.js";
import { afterPress } from "./press.js";

export class Preview {
  /**
   * @param {string} url
   * @param {import("./saving.js").Saving} saving
   * @param {import("./doubts.js").Doubts} doubts
   * @param {Record<string, string>} messages
   */
  constructor(url, saving, doubts, messages) {
    this.url = url;
    this.saving = saving;
    this.doubts = doubts;
    this.messages = messages;
    this.box = byId("preview");
    this.request = 0;
    /** Resolves when the newest look is here, or known to fail. */
    this.looked = Promise.resolve();
  }

  /** Fetch it anew, once everything is saved; of several calls the newest counts. */
  show() {
    return (this.looked = this.look());
  }

  async look() {
    const request = ++this.request;
    if (!this.box.childElementCount) this.say(this.messages.preview_waits);
    await this.saving.settled();
    if (request !== this.request) return;
    try {
      const answer = await fetch(this.url, { credentials: "same-origin" });
      if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
      const html = await answer.text();
      await new Promise((go) => afterPress(() => go(null))); // what it finds makes room beside “Publish”
      if (request === this.request) this.put(html);
    } catch (error) {
      console.warn("No preview.", error);
      if (request === this.request) this.say(this.messages.preview_fails);
    }
  }

  /** @param {string} html */
  put(html) {
    const fresh = parsed(html);
    const missing = fresh.querySelector("[data-missing]");
    missing?.remove();
    const doubts = fresh.querySelector("[data-doubts]");
    doubts?.remove();
    this.doubts.take(doubts);
    const top = this.box.scrollTop;
    this.box.replaceChildren(...fresh.childNodes);
    this.box.scrollTop = top;
    this.tell(missing ? [...missing.children].map((one) => one.textContent ?? "") : []);
  }

  /**
   * What is still open stands beside the button that publishes.
   * @param {string[]} sentences
   */
  tell(sentences) {
    const list = document.getElementById("missing");
    if (!list) return;
    list.hidden = !sentences.length;
    list.replaceChildren(...sentences.map((text) => made("li", { text })));
    /** @type {HTMLButtonElement} */ (byId("publish-open")).disabled = sentences.length > 0;
  }

  /** @param {string} words */
  say(words) {
    this.box.replaceChildren(made("p", { class: "small waiting", text: words }));
  }
}

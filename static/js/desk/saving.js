// @ts-check
/**
 * Save as you go: one change after the other, each on top of the version that the last answer named; kept in the browser
 * until acknowledged, sent again when the line breaks.
 *
 * States: "saved", "saving", "trying" (the line is down), "full" (the site has no room), "signed_out", "stopped" (changed elsewhere, or no longer ours).
 * @typedef {"saved"|"saving"|"trying"|"full"|"signed_out"|"stopped"} State
 * @typedef {import("./pending.js").Pending} Pending
 */

const WAITS_MS = [1000, 2000, 4000, 8000, 15000];

export class Saving extends EventTarget {
  /**
   * @param {Pending} pending @param {Record<string, string>} urls  by kind of change
   * @param {number} version @param {typeof fetch} [fetcher] @param {() => string} [csrf]
   */
  constructor(pending, urls, version, fetcher = (...given) => fetch(...given), csrf = csrfToken) {
    super();
    this.pending = pending;
    this.urls = urls;
    this.version = version;
    this.fetcher = fetcher;
    this.csrf = csrf;
    /** @type {State} */
    this.state = "saved";
    this.words = "";
    this.savedAt = 0;
    this.failures = 0;
    /** @type {Promise<void>|null} */
    this.sending = null;
    /** @type {ReturnType<typeof setTimeout>|undefined} */
    this.timer = undefined;
    this.isOn = true;
  }

  /** @param {string} name @param {string} kind @param {Record<string, unknown>} body @param {unknown} [was] */
  put(name, kind, body, was) {
    this.pending.put(name, kind, body, was);
    this.go();
  }

  get isClean() {
    return this.pending.count === 0;
  }

  /** Send what waits, unless that is under way or must not be. */
  go() {
    if (!this.isOn || this.state === "stopped" || this.sending || this.isClean) return;
    clearTimeout(this.timer);
    this.sending = this.send().finally(() => {
      this.sending = null;
      if (this.state === "saving") this.go();
    });
  }

  /** Resolves when everything is acknowledged; false when that is not to be had now. */
  async settled() {
    for (;;) {
      if (this.isClean) return true;
      if (this.state !== "saved" && this.state !== "saving") return false;
      this.go();
      await (this.sending ?? Promise.resolve());
    }
  }

  async send() {
    for (let item = this.pending.take(); item; item = this.pending.take()) {
      this.turn("saving");
      const answer = await this.post(item);
      if (!answer) return this.later("trying");
      if (answer.status === 401 || answer.status === 403) return this.later("signed_out");
      if (answer.status === 507) return this.later("full", (await answer.json().catch(() => ({}))).words);
      if (answer.status >= 500 || answer.status === 404) return this.later("trying");
      const said = await answer.json().catch(() => ({}));
      if (answer.status === 409) return this.stop(said.words ?? "", said.code ?? "stale");
      this.pending.done();
      this.failures = 0;
      if (answer.ok) this.take(said);
      else this.refuse(said.words ?? "");
    }
    this.savedAt = Date.now();
    this.turn("saved");
  }

  /** @param {{version: number, news?: string}} said */
  take(said) {
    this.version = said.version;
    this.dispatchEvent(new CustomEvent("said", { detail: said }));
  }

  /** @param {import("./pending.js").Item} item */
  async post(item) {
    const body = JSON.stringify({ ...item.body, version: this.version, change: item.token });
    const headers = { "Content-Type": "application/json", "X-CSRFToken": this.csrf() };
    try {
      return await this.fetcher(this.urls[item.kind], { method: "POST", body, headers, credentials: "same-origin", keepalive: body.length < 60000 });
    } catch {
      return null;
    }
  }

  /** @param {"trying"|"full"|"signed_out"} state @param {string} [words] */
  later(state, words = "") {
    this.words = words;
    const wait = WAITS_MS[Math.min(this.failures++, WAITS_MS.length - 1)];
    this.turn(state);
    this.timer = setTimeout(() => this.go(), wait);
  }

  /** @param {string} words @param {string} code */
  stop(words, code) {
    this.words = words;
    this.code = code;
    this.pending.keep();
    this.turn("stopped");
  }

  /** @param {string} words */
  refuse(words) {
    this.words = words;
    this.dispatchEvent(new Event("refused"));
  }

  /** @param {State} state */
  turn(state) {
    this.state = state;
    this.dispatchEvent(new Event("change"));
  }
}

/** From the cookie, read anew each time: signing in again changes it. */
export function csrfToken() {
  const cookie = /(?:^|;\s*)csrftoken=([^;]+)/.exec(document.cookie);
  return cookie ? cookie[1] : /** @type {HTMLInputElement|null} */ (document.querySelector("[name=csrfmiddlewaretoken]"))?.value ?? "";
}

// @ts-check
/**
 * One engine for all that the desk sends: one request after the other, sent again while the line is down, told in
 * states. What is sent, and what an answer means, the heirs know (saving.js for the draft, corrections.js for the
 * film).
 *
 * States: "saved", "saving", "trying" (the line is down), "full" (the site has no room), "signed_out", "stopped"
 * (changed elsewhere, or no longer ours).
 * @typedef {"saved"|"saving"|"trying"|"full"|"signed_out"|"stopped"} State
 * @typedef {{url: string, body: Record<string, unknown>}} SiteRequest
 */

const WAITS_MS = [1000, 2000, 4000, 8000, 15000];
const MOST_KEPT_ALIVE = 60000; // bytes under way together that a browser still sends when the page goes (64 KiB)

let keptAlive = 0;

/** How many bytes can go out now with the promise that they arrive though the page goes. */
export const keepaliveRoom = () => MOST_KEPT_ALIVE - keptAlive;

/** @param {string} text */
export const bytesOf = (text) => new TextEncoder().encode(text).length;

export class Line extends EventTarget {
  /**
   * @param {typeof fetch} fetcher
   * @param {() => string} csrf
   */
  constructor(fetcher, csrf) {
    super();
    this.fetcher = fetcher;
    this.csrf = csrf;
    /** @type {State} */
    this.state = "saved";
    this.words = "";
    this.code = "";
    this.savedAt = 0;
    this.failures = 0;
    /** @type {Promise<void>|null} */
    this.sending = null;
    /** @type {Promise<void>|null} what went out beside the order when the page seemed to go; nothing overtakes it */
    this.flushing = null;
    /** @type {ReturnType<typeof setTimeout>|undefined} */
    this.timer = undefined;
    this.isOn = true;
  }

  /** Whether nothing waits. */
  get isClean() {
    return true;
  }

  /** Whether the line has trouble, so that what waits may wait long. */
  get isDown() {
    return this.state !== "saved" && this.state !== "saving";
  }

  /**
   * What goes out now, or null.
   * @returns {SiteRequest|null}
   */
  next() {
    return null;
  }

  /** It is acknowledged, or refused for good. */
  done() {}

  /** @param {any} _said */
  take(_said) {}

  /**
   * Somebody else was quicker. Gives back whether it goes out anew on top of theirs.
   * @param {any} _said
   */
  merge(_said) {
    return false;
  }

  /** Send what waits, unless that is under way or must not be. */
  go() {
    if (!this.isOn || this.state === "stopped" || this.sending || this.isClean) return;
    clearTimeout(this.timer);
    this.sending = this.send().finally(() => {
      this.sending = null;
      this.dispatchEvent(new Event("settled"));
      if (this.state === "saving") this.go();
    });
  }

  /**
   * Send it in a while, if nothing else is put meanwhile.
   * @param {number} wait  milliseconds
   */
  soon(wait) {
    if (this.isDown) return; // the line comes again by itself
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.go(), wait);
  }

  /** Resolves when everything is acknowledged; false when that is not to be had now. */
  async settled() {
    for (;;) {
      if (this.isClean && !this.sending) return true;
      if (this.isDown) return false;
      this.go();
      await (this.sending ?? Promise.resolve());
    }
  }

  /** The page may go at any moment: what waits behind a request under way goes out beside it. */
  flush() {
    this.go();
  }

  /**
   * This goes out beside the order; nothing more goes out in order before all such is answered.
   * @param {Promise<void>} answered
   */
  beside(answered) {
    if (this.state === "saved") this.turn("saving");
    const flushing = Promise.all([this.flushing, answered]).then(() => {
      if (this.flushing === flushing) this.flushing = null;
    });
    this.flushing = flushing;
  }

  async send() {
    for (;;) {
      if (this.flushing) await this.flushing;
      const request = this.next();
      if (!request) break;
      this.turn("saving");
      const answer = await this.post(request);
      if (!answer) return this.later("trying");
      if (answer.status === 401 || answer.status === 403) return this.later("signed_out", await othersWords(answer));
      if (answer.status === 507) return this.later("full", (await answer.json().catch(() => ({}))).words);
      if (answer.status >= 500 || answer.status === 404) return this.later("trying");
      const said = await answer.json().catch(() => null);
      if (!said) return this.later("trying"); // it broke off, or is not the site's own: nobody knows what was made
      if (answer.status === 409) {
        if (!this.merge(said)) return this.stop(said.words ?? "", said.code ?? "stale");
        if (++this.failures % 4 === 0) return this.later("trying"); // somebody is very quick
        continue;
      }
      this.done();
      this.failures = 0;
      if (answer.ok) this.take(said);
      else this.refuse(said.words ?? "");
    }
    this.savedAt = Date.now();
    this.turn("saved");
  }

  /** @param {SiteRequest} request */
  async post({ url, body: given }) {
    const body = JSON.stringify(given);
    const headers = { "Content-Type": "application/json", "X-CSRFToken": this.csrf(), "X-Account": account() };
    const size = bytesOf(body);
    const keepalive = size <= keepaliveRoom(); // beyond that the browser refuses all of it
    if (keepalive) keptAlive += size;
    try {
      return await this.fetcher(url, {
        method: "POST",
        body,
        headers,
        credentials: "same-origin",
        keepalive,
      });
    } catch {
      return null;
    } finally {
      if (keepalive) keptAlive -= size;
    }
  }

  /**
   * @param {"trying"|"full"|"signed_out"} state
   * @param {string} [words]
   */
  later(state, words = "") {
    this.words = words;
    const wait = WAITS_MS[Math.min(this.failures++, WAITS_MS.length - 1)];
    this.turn(state);
    this.timer = setTimeout(() => this.go(), wait);
  }

  /**
   * @param {string} words
   * @param {string} code
   */
  stop(words, code) {
    this.words = words;
    this.code = code;
    this.turn("stopped");
  }

  /** @param {string} words */
  refuse(words) {
    this.words = words;
    this.dispatchEvent(new CustomEvent("refused", { detail: words }));
  }

  /** @param {State} state */
  turn(state) {
    this.state = state;
    this.dispatchEvent(new Event("change"));
  }
}

/** Whose page this is: what was done on it is nobody else's, whoever is signed in by now. */
export const account = () => globalThis.document?.body.dataset.account ?? "";

/**
 * What the site says where somebody else is signed in; "" where nobody is.
 * @param {Response} answer
 * @returns {Promise<string>}
 */
async function othersWords(answer) {
  const said = await answer.json().catch(() => ({}));
  return said.code === "other_account" ? said.words : "";
}

/** From the cookie, read anew each time: signing in again changes it. */
export function csrfToken() {
  const cookie = /(?:^|;\s*)csrftoken=([^;]+)/.exec(document.cookie);
  return cookie
    ? cookie[1]
    : (/** @type {HTMLInputElement|null} */ (document.querySelector("[name=csrfmiddlewaretoken]"))?.value ?? "");
}

// @ts-check
/**
 * Save as you go: changes of the draft, each on top of the version that the last answer named; kept in the browser
 * until acknowledged. Every keystroke is kept at once; while somebody writes, it is sent when they pause.
 * @typedef {import("./pending.js").Pending} Pending
 * @typedef {import("./pending.js").Item} Item
 */
import { bytesOf, csrfToken, Line, keepaliveRoom } from "./line.js";

const TYPING_MS = 600;
const MOST_AT_ONCE = 50; // as portal/desk/forms.py takes them

export class Saving extends Line {
  /**
   * @param {Pending} pending
   * @param {Record<string, string>} urls  by kind of change
   * @param {number} version
   * @param {{name: string, follows: string[]}} [own]  this window, and those that it goes on for
   * @param {typeof fetch} [fetcher]
   * @param {() => string} [csrf]
   */
  constructor(
    pending,
    urls,
    version,
    own = { name: "", follows: [] },
    fetcher = (...given) => fetch(...given),
    csrf = csrfToken,
  ) {
    super(fetcher, csrf);
    this.pending = pending;
    this.urls = urls;
    this.version = version;
    this.own = own;
    /** @type {Item[]} what went out beside the order and is not answered */
    this.flushed = [];
    /** @type {Map<string, number>} when each thing was last changed */
    this.changedAt = new Map();
  }

  /**
   * @param {string} name
   * @param {string} kind
   * @param {Record<string, unknown>} body
   * @param {unknown} [was]
   */
  put(name, kind, body, was) {
    this.pending.put(name, kind, body, was);
    const isTyping = Date.now() - (this.changedAt.get(name) ?? 0) < TYPING_MS;
    this.changedAt.set(name, Date.now());
    if (isTyping) this.soon(TYPING_MS);
    else this.go();
  }

  get isClean() {
    return this.pending.count === 0;
  }

  next() {
    const item = this.pending.take();
    return item && { url: this.urls[item.kind], body: { ...item.body, ...this.sender, change: item.token } };
  }

  /** What the site goes by to tell a stale window from one that is behind by its own changes alone. */
  get sender() {
    return { version: this.version, window: this.own.name, follows: this.own.follows };
  }

  /**
   * The page may go at any moment. All that is not acknowledged goes out in one request, beside what is under way
   * and with it, for nobody knows which of them arrives first: the site makes each of them once, in this order.
   */
  flush() {
    if (!this.isOn || this.state === "stopped") return;
    const all = [...(this.flushing ? this.flushed : []), ...this.pending.all];
    const once = all.filter((item, i) => all.findIndex((one) => one.token === item.token) === i);
    const items = this.fitting(once).map((item) => ({ ...item })); // as it is now: what waits can still change
    if (items.length > 1) {
      this.flushed = items;
      this.beside(this.sendTogether(items));
    }
    this.go();
  }

  /**
   * As many of them, from the first, as a browser still sends when the page goes. The rest it keeps.
   * @param {Item[]} items
   */
  fitting(items) {
    let room = keepaliveRoom() - bytesOf(JSON.stringify({ ...this.sender, changes: [] }));
    const firstTooMuch = items.findIndex((item) => (room -= bytesOf(JSON.stringify(inRequest(item))) + 1) < 0);
    return items.slice(0, Math.min(MOST_AT_ONCE, firstTooMuch < 0 ? items.length : firstTooMuch));
  }

  /** @param {Item[]} items */
  async sendTogether(items) {
    const answer = await this.post({
      url: this.urls.changes,
      body: { ...this.sender, changes: items.map(inRequest) },
    });
    const said = answer?.ok ? await answer.json().catch(() => null) : null;
    if (!said) return; // each goes out again by itself
    this.take(said);
    this.pending.drop(new Set(items.map((item) => item.token).filter((token) => !said.refused.includes(token))));
  }

  done() {
    this.pending.done();
  }

  /** @param {{version: number, news?: string}} said */
  take(said) {
    this.version = said.version;
    this.dispatchEvent(new CustomEvent("said", { detail: said }));
  }

  /**
   * @param {string} words
   * @param {string} code
   */
  stop(words, code) {
    this.pending.keep();
    super.stop(words, code);
  }
}

/** @param {Item} item */
const inRequest = ({ kind, body, token }) => ({ ...body, kind, change: token });

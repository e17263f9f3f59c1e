// @ts-check
/**
 * Save as you go: changes of the draft, each on top of the version that the last answer named; kept in the browser
 * until acknowledged. Every keystroke is kept at once; while somebody writes, it is sent when they pause.
 * @typedef {import("./pending.js").Pending} Pending
 */
import { csrfToken, Line } from "./line.js";

const TYPING_MS = 600;

export class Saving extends Line {
  /**
   * @param {Pending} pending
   * @param {Record<string, string>} urls  by kind of change
   * @param {number} version
   * @param {typeof fetch} [fetcher]
   * @param {() => string} [csrf]
   */
  constructor(pending, urls, version, fetcher = (...given) => fetch(...given), csrf = csrfToken) {
    super(fetcher, csrf);
    this.pending = pending;
    this.urls = urls;
    this.version = version;
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
    return item && { url: this.urls[item.kind], body: { ...item.body, version: this.version, change: item.token } };
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

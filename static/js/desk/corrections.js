// @ts-check
/**
 * What the coach moves by hand. Each change is a function of the corrections, so that it can be made again on top of
 * what another window moved meanwhile; all that waits goes out together, and the readings come back with it. What waits
 * is kept in the browser, as names and numbers (moves.js).
 * @typedef {import("./types.js").Corrections} Corrections
 * @typedef {import("./moves.js").Move} Move
 * @typedef {import("./types.js").Standing} Standing
 * @typedef {import("./pending.js").Store} Store
 */
import { csrfToken, Line } from "./line.js";
import { moveOf } from "./moves.js";
import { keepList, keptList } from "./pending.js";

export class Correcting extends Line {
  /**
   * @param {string} url
   * @param {Corrections} corrections
   * @param {number} version
   * @param {Store|null} [store]
   * @param {string} [key]
   * @param {typeof fetch} [fetcher]
   * @param {() => string} [csrf]
   */
  constructor(
    url,
    corrections,
    version,
    store = null,
    key = "",
    fetcher = (...given) => fetch(...given),
    csrf = csrfToken,
  ) {
    super(fetcher, csrf);
    this.url = url;
    this.corrections = corrections;
    this.version = version;
    this.store = store;
    this.key = key;
    /** @type {Move[]} what a window before this one could not send comes first */
    this.waiting = keptList(store, key).flatMap((told) => moveOf(told) ?? []);
    this.leftOver = this.waiting.length;
    this.underWay = 0;
  }

  /** The corrections as they will be when all that waits is read. */
  get now() {
    return this.waiting.reduce((held, move) => move(held), this.corrections);
  }

  get isClean() {
    return this.waiting.length === 0;
  }

  get isBusy() {
    return this.sending !== null;
  }

  /** @param {Move} move */
  make(move) {
    this.waiting.push(move);
    this.keep();
    this.dispatchEvent(new Event("moved"));
    this.go();
  }

  keep() {
    keepList(
      this.store,
      this.key,
      this.waiting.map((move) => move.told),
    );
  }

  next() {
    this.underWay = this.waiting.length;
    return this.underWay ? { url: this.url, body: { version: this.version, corrections: this.now } } : null;
  }

  done() {
    this.waiting.splice(0, this.underWay);
    this.keep();
  }

  /**
   * Made again on top of the newest.
   * @param {Partial<Standing>} said
   */
  merge(said) {
    if (!said.corrections || said.version === undefined) return false;
    [this.corrections, this.version] = [said.corrections, said.version];
    return true;
  }

  /** @param {Standing} standing */
  take(standing) {
    [this.corrections, this.version] = [standing.corrections, standing.version];
    this.dispatchEvent(new CustomEvent("read", { detail: standing }));
  }
}

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
import { bytesOf, csrfToken, keepaliveRoom, Line } from "./line.js";
import { sameJson } from "./merge.js";
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
    if (this.waiting.length && sameJson(this.now, corrections)) this.drop(this.waiting); // it arrived all the same
    this.leftOver = this.waiting.length;
    /** @type {Move[]} */
    this.underWay = [];
    /** @type {Corrections[]} what each request holds that is not answered yet, oldest first */
    this.unanswered = [];
    /** @type {Move[]} what the newest of them makes */
    this.sent = [];
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
    this.sent = this.underWay = [...this.waiting];
    this.unanswered = [this.now];
    if (!this.underWay.length) return null;
    return { url: this.url, body: { version: this.version, corrections: this.now } };
  }

  done() {
    this.drop(this.underWay);
    this.underWay = [];
  }

  /** @param {Move[]} moves */
  drop(moves) {
    this.waiting = this.waiting.filter((move) => !moves.includes(move));
    this.keep();
  }

  /**
   * What was moved behind the requests under way goes out beside them, with what each of them holds: the site takes it
   * before them or on top of them, whichever arrives first. A page may seem to go more than once: then each time.
   */
  flush() {
    const { unanswered, version } = this;
    const moves = [...this.waiting];
    const body = { version, corrections: this.now, unanswered };
    const isUnderWay = this.sending || this.flushing;
    const isBehind = isUnderWay && moves.some((move) => !this.sent.includes(move));
    if (this.isOn && this.state !== "stopped" && isBehind && bytesOf(JSON.stringify(body)) <= keepaliveRoom()) {
      this.beside(this.sendBeside(body, moves));
      this.unanswered = [...unanswered, body.corrections];
      this.sent = moves;
    }
    this.go();
  }

  /**
   * @param {Record<string, unknown>} body
   * @param {Move[]} moves
   */
  async sendBeside(body, moves) {
    const answer = await this.post({ url: this.url, body });
    const said = answer?.ok ? await answer.json().catch(() => null) : null;
    if (!said) return; // they go out again in order
    this.drop(moves);
    this.take(said);
  }

  /**
   * Made again on top of the newest.
   * @param {Partial<Standing>} said
   */
  merge(said) {
    if (!said.corrections || said.version === undefined) return false;
    if (said.version >= this.version) [this.corrections, this.version] = [said.corrections, said.version];
    return true;
  }

  /** @param {Standing} standing */
  take(standing) {
    if (standing.version < this.version) return; // a newer answer overtook it
    [this.corrections, this.version] = [standing.corrections, standing.version];
    this.dispatchEvent(new CustomEvent("read", { detail: standing }));
  }
}

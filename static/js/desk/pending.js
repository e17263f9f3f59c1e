// @ts-check
/**
 * Changes that are not acknowledged yet, in order, apart from any page. A newer change of the same thing takes the
 * place of one that still waits; one that is under way stays until its answer comes.
 *
 * @typedef {{name: string, kind: string, body: Record<string, unknown>, was: unknown, token: string}} Item
 * @typedef {{getItem: (key: string) => string|null, setItem: (key: string, value: string) => void, removeItem: (key:
 * string) => void}} Store
 */

export class Pending {
  /**
   * @param {Store|null} store
   * @param {string} key
   * @param {() => string} newToken
   */
  constructor(store, key, newToken) {
    this.store = store;
    this.key = key;
    this.newToken = newToken;
    /** @type {Item[]} */
    this.items = [];
    /** @type {Item|null} */
    this.inFlight = null;
    /** Whether all that waits is in the store as well. */
    this.isKept = true;
  }

  get count() {
    return this.all.length;
  }

  /** All that is not acknowledged, in order. */
  get all() {
    return this.inFlight ? [this.inFlight, ...this.items] : this.items;
  }

  /**
   * @param {string} name  what is changed: two changes of one name are one
   * @param {string} kind  where it goes
   * @param {Record<string, unknown>} body
   * @param {unknown} was  the value before, as last known to be saved
   */
  put(name, kind, body, was) {
    const before = this.items.find((item) => item.name === name);
    if (before) Object.assign(before, { body, token: this.newToken() });
    else this.items.push({ name, kind, body, was, token: this.newToken() });
    this.keep();
  }

  /**
   * What another window left behind comes first, under its own tokens: what had arrived all the same is not made twice.
   * @param {Item[]} items
   */
  takeOver(items) {
    this.items.unshift(...items);
    this.keep();
  }

  /** The next one to send, or null. */
  take() {
    this.inFlight ??= this.items.shift() ?? null;
    return this.inFlight;
  }

  /** The one under way is acknowledged (or refused for good). */
  done() {
    this.inFlight = null;
    this.keep();
  }

  /**
   * These are acknowledged, though they still waited.
   * @param {Set<string>} tokens
   */
  drop(tokens) {
    this.items = this.items.filter((item) => !tokens.has(item.token));
    this.keep();
  }

  keep() {
    this.isKept = keepList(this.store, this.key, this.all);
  }

  /**
   * What was left over when the window last closed.
   * @returns {Item[]}
   */
  leftOver() {
    return keptList(this.store, this.key).filter(
      (item) => typeof item?.name === "string" && typeof item?.kind === "string",
    );
  }
}

/**
 * Gives back whether it is kept; a full or forbidden store keeps nothing.
 * @param {Store|null} store
 * @param {string} key
 * @param {unknown[]} list
 */
export function keepList(store, key, list) {
  if (!store) return false;
  try {
    if (list.length)
      store.setItem(key, JSON.stringify({ at: Date.now(), list })); // the time: ../unsent.js
    else store.removeItem(key);
    return true;
  } catch {
    return false;
  }
}

/**
 * @param {Store|null} store
 * @param {string} key
 * @returns {any[]}
 */
export function keptList(store, key) {
  try {
    const kept = JSON.parse(store?.getItem(key) ?? "[]");
    const list = Array.isArray(kept) ? kept : kept.list; // a bare list is of before times were kept
    return Array.isArray(list) ? list : [];
  } catch {
    return [];
  }
}

// @ts-check
/**
 * Changes that are not acknowledged yet, in order, apart from any page. A newer change of the same thing takes the place of
 * one that still waits; one that is under way stays until its answer comes.
 *
 * @typedef {{name: string, kind: string, body: Record<string, unknown>, was: unknown, token: string}} Item
 * @typedef {{getItem: (key: string) => string|null, setItem: (key: string, value: string) => void, removeItem: (key: string) => void}} Store
 */

export class Pending {
  /** @param {Store|null} store @param {string} key @param {() => string} newToken */
  constructor(store, key, newToken) {
    this.store = store;
    this.key = key;
    this.newToken = newToken;
    /** @type {Item[]} */
    this.items = [];
    /** @type {Item|null} */
    this.flying = null;
  }

  get count() {
    return this.items.length + (this.flying ? 1 : 0);
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

  /** The next one to send, or null. */
  take() {
    this.flying ??= this.items.shift() ?? null;
    return this.flying;
  }

  /** The one under way is acknowledged (or refused for good). */
  done() {
    this.flying = null;
    this.keep();
  }

  keep() {
    const all = this.flying ? [this.flying, ...this.items] : this.items;
    try {
      if (all.length) this.store?.setItem(this.key, JSON.stringify(all));
      else this.store?.removeItem(this.key);
    } catch {
      // a full or forbidden store: what is under way is still in memory, and leaving warns
    }
  }

  /** What was left over when the window last closed. @returns {Item[]} */
  leftOver() {
    try {
      const items = JSON.parse(this.store?.getItem(this.key) ?? "[]");
      return Array.isArray(items) ? items.filter((item) => typeof item?.name === "string" && typeof item?.kind === "string") : [];
    } catch {
      return [];
    }
  }
}

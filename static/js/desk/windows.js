// @ts-check
/**
 * Several windows of one desk. Each keeps what it has not sent under a key of its own, and holds a lock of that name
 * while it lives: what a window left behind is taken over by the next one, and what a living one keeps is left alone.
 * @typedef {{request: (name: string, options: any, act?: (lock: unknown) => unknown) => Promise<unknown>}} Locks
 * navigator.locks
 */
import { keepList, keptList } from "./pending.js";

const FORMER = "desk-window"; // in the session's store: what this window was before it was loaded again, newest first
const UNLOADING_MS = 1000;
const RELOADED_MS = 5000; // after a reload it is surely on its way out, on a busy machine too
const MOST_FOLLOWED = 10;

/**
 * @typedef {object} Own
 * @property {string} key  all that others left behind stands under it; parts of a window's key follow it after a colon
 * @property {string} name  of this window, as the site hears it
 * @property {string[]} follows  windows that are surely gone, whose last changes may come to the site after this page
 */

/**
 * The key of this window, and the windows that it goes on for: those whose lock is free, for they have ended.
 * @param {string} desk  what the keys of all this coach's windows of this desk begin with
 * @param {Storage} store
 * @param {Storage} session
 * @param {Locks|undefined} locks  missing where the site has no TLS
 * @param {boolean} [isReload]
 * @returns {Promise<Own>}
 */
export async function ownKey(desk, store, session, locks, isReload = false) {
  const own = `${desk}:${Math.random().toString(36).slice(2)}`;
  void locks?.request(own, () => untilGone());
  const [former, ...formers] = (session.getItem(FORMER) ?? "").split(" ").filter((one) => one.startsWith(`${desk}:`));
  const owners = new Set(keysOf(desk, store).map((key) => ownerOf(desk, key)));
  /** @type {string[]} */
  const follows = [];
  for (const owner of former ? new Set([former, ...owners]) : owners) {
    const patience = owner !== former ? 0 : isReload ? RELOADED_MS : UNLOADING_MS; // it may be on its way out
    const isFree = await whenFree(locks, owner, patience, () => takeOver(desk, owner, own, store));
    const isGone = locks ? isFree : isReload && owner === former; // without locks the others may live
    if (isGone) follows.push(owner, ...(owner === former ? formers : []));
  }
  session.setItem(FORMER, [own, ...follows].slice(0, MOST_FOLLOWED).join(" "));
  const name = (/** @type {string} */ key) => key.slice(desk.length + 1);
  return { key: own, name: name(own), follows: follows.map(name).filter(Boolean).slice(0, MOST_FOLLOWED) };
}

/** The lock is given back at once when the window goes, not when the browser has cleared it away. */
const untilGone = () => new Promise((go) => globalThis.addEventListener?.("pagehide", go));

/** @param {Performance} clock */
export const wasReloaded = (clock) =>
  clock.getEntriesByType("navigation").some((one) => /** @type {any} */ (one).type === "reload");

/**
 * @param {string} desk
 * @param {Storage} store
 */
const keysOf = (desk, store) => Object.keys(store).filter((key) => key === desk || key.startsWith(`${desk}:`));

/**
 * The window that a key belongs to, without its part.
 * @param {string} desk
 * @param {string} key
 */
const ownerOf = (desk, key) => desk + (key.slice(desk.length).match(/^:[^:]*/)?.[0] ?? "");

/**
 * What lies there from before keys named an account and belongs to no living window, as a list of keys.
 * @param {string} former  what those keys begin with
 * @param {Storage} store
 * @param {Locks|undefined} locks
 */
export async function nameless(former, store, locks) {
  /** @type {string[]} */
  const found = [];
  for (const owner of new Set(keysOf(former, store).map((key) => ownerOf(former, key))))
    await whenFree(locks, owner, 0, () => {
      found.push(...keysOf(former, store).filter((key) => ownerOf(former, key) === owner));
    });
  return found;
}

/**
 * A coach says that it is theirs: it comes to their desk with the next page.
 * @param {string[]} keys  as `nameless` gives them
 * @param {string} former
 * @param {string} desk
 * @param {Storage} store
 */
export function adopt(keys, former, desk, store) {
  for (const key of keys)
    if (keepList(store, desk + key.slice(former.length), keptList(store, key))) store.removeItem(key);
}

/**
 * @param {Locks|undefined} locks
 * @param {string} owner
 * @param {number} patience
 * @param {() => void} act
 * @returns {Promise<boolean>}
 */
async function whenFree(locks, owner, patience, act) {
  if (!locks) return (act(), true);
  const giveUp = Date.now() + patience;
  for (;;) {
    const isFree = await locks.request(owner, { ifAvailable: true }, (lock) => (lock && act(), Boolean(lock)));
    if (isFree || Date.now() >= giveUp) return Boolean(isFree);
    await new Promise((go) => setTimeout(go, 50));
  }
}

/**
 * First written under the new key, then removed under the old.
 * @param {string} desk
 * @param {string} owner
 * @param {string} own
 * @param {Storage} store
 */
function takeOver(desk, owner, own, store) {
  for (const key of keysOf(desk, store).filter((one) => ownerOf(desk, one) === owner)) {
    const mine = own + key.slice(owner.length);
    if (keepList(store, mine, [...keptList(store, mine), ...keptList(store, key)])) store.removeItem(key);
  }
}

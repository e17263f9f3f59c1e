// @ts-check
/**
 * Several windows of one desk. Each keeps what it has not sent under a key of its own, and holds a lock of that name
 * while it lives: what a window left behind is taken over by the next one, and what a living one keeps is left alone.
 * @typedef {{request: (name: string, options: any, act?: (lock: unknown) => unknown) => Promise<unknown>}} Locks
 * navigator.locks
 */
import { keepList, keptList } from "./pending.js";

const FORMER = "desk-window"; // in the session's store: which one this window was before it was loaded again
const UNLOADING_MS = 1000;

/**
 * The key of this window; all that others left behind stands under it. Parts of a window's key follow it after a colon.
 * @param {string} desk  what all windows of this desk begin with
 * @param {Storage} store
 * @param {Storage} session
 * @param {Locks|undefined} locks  missing where the site has no TLS
 */
export async function ownKey(desk, store, session, locks) {
  const own = `${desk}:${Math.random().toString(36).slice(2)}`;
  void locks?.request(own, () => new Promise(() => {})); // until the window goes
  for (const owner of new Set(keysOf(desk, store).map((key) => ownerOf(desk, key)))) {
    const patience = owner === session.getItem(FORMER) ? UNLOADING_MS : 0; // it may be on its way out
    await whenFree(locks, owner, patience, () => takeOver(desk, owner, own, store));
  }
  session.setItem(FORMER, own);
  return own;
}

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
 * @param {Locks|undefined} locks
 * @param {string} owner
 * @param {number} patience
 * @param {() => void} act
 */
async function whenFree(locks, owner, patience, act) {
  if (!locks) return act();
  const giveUp = Date.now() + patience;
  for (;;) {
    const isFree = await locks.request(owner, { ifAvailable: true }, (lock) => (lock && act(), Boolean(lock)));
    if (isFree || Date.now() >= giveUp) return;
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

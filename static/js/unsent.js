// @ts-check
/**
 * What the desk could not send, as it lies in the browser's store: under keys that name the account whose it is, so
 * that another coach at the same browser neither sends nor sees it, and the first one finds it again. Keys:
 * desk:<account>:<submission>:<window>[:<clip>]. Those of before accounts were named begin with the submission.
 */
import { made } from "./desk/page.js";

const PREFIX = "desk:";
const KEPT_MS = 28 * 24 * 3600 * 1000; // another's work, in a browser to which they do not come back

/**
 * What the keys of all windows of one desk begin with.
 * @param {string} account
 * @param {string} submission
 */
export const deskKey = (account, submission) => `${PREFIX}${account}:${submission}`;

/**
 * The same, from before keys named an account.
 * @param {string} submission
 */
export const namelessKey = (submission) => `${PREFIX}${submission}`;

/** @param {string} key */
const parts = (key) => key.slice(PREFIX.length).split(":");

/**
 * Whose it is; "" where the key does not say.
 * @param {string} key
 */
const accountOf = (key) => (/^\d+$/.test(parts(key)[0]) && parts(key).length > 1 ? parts(key)[0] : "");

/** @param {Storage} store */
const keysIn = (store) => Object.keys(store).filter((key) => key.startsWith(PREFIX));

/**
 * @param {Storage} store
 * @param {string} key
 */
const held = (store, key) => {
  try {
    return JSON.parse(store.getItem(key) ?? "[]");
  } catch {
    return [];
  }
};

/**
 * The submissions at whose desk this account has something unsent, and how many changes in all.
 * @param {Storage} store
 * @param {string} account
 */
export function unsentOf(store, account) {
  const mine = keysIn(store).filter((key) => accountOf(key) === account);
  const count = mine.reduce((sum, key) => sum + (held(store, key).list?.length ?? 0), 0);
  return { count, submissions: [...new Set(mine.map((key) => parts(key)[1]))] };
}

/**
 * @param {Storage} store
 * @param {string} account
 */
export const hasOthers = (store, account) => keysIn(store).some((key) => ![account, ""].includes(accountOf(key)));

/**
 * Who signs out leaves nothing behind, nor what nobody can be told to own.
 * @param {Storage} store
 * @param {string} account
 */
export function forgetUnsent(store, account) {
  for (const key of keysIn(store)) if ([account, ""].includes(accountOf(key))) store.removeItem(key);
}

/**
 * Before a form goes whose answer erases the browser's store: where others' work lies there, it says so (`others`), and
 * the site leaves the store alone.
 * @param {HTMLFormElement} form
 * @param {Storage} store
 * @param {string} account
 */
export function keepOthers(form, store, account) {
  if (hasOthers(store, account)) form.append(made("input", { type: "hidden", name: "others", value: "kept" }));
}

/**
 * Others' work goes after four weeks; one's own stays until it is sent.
 * @param {Storage} store
 * @param {string} account
 * @param {number} [now]
 */
export function forgetOld(store, account, now = Date.now()) {
  for (const key of keysIn(store)) {
    const whose = accountOf(key);
    if (whose && whose === account) continue;
    const kept = held(store, key);
    if (Array.isArray(kept))
      store.setItem(key, JSON.stringify({ at: now, list: kept })); // of before times were kept
    else if (!(now - kept?.at < KEPT_MS)) store.removeItem(key);
  }
}

// @ts-check
/**
 * What can be undone, over a page that is loaded again: written when the page goes, into the session's store of its
 * window, and taken up by the next page of the same account, submission and clip. static/js/kept_words.js erases it
 * with all else that was typed.
 * @typedef {import("./history.js").Told} Told
 * @typedef {{done: Told[], undone: Told[], saying: string}} Steps  `saying` is what the coach has to read still
 */

const KEPT_MS = 10 * 60 * 1000; // a reload takes less; after that others may have gone on with the review

/**
 * @param {import("./types.js").DeskData} data
 * @param {string} account
 */
const keyOf = ({ submission }, account) => `kept-words:${account}:undo:${submission}`;

/**
 * @param {Storage} session
 * @param {import("./types.js").DeskData} data
 * @param {string} account
 * @param {Steps} steps
 * @param {number} [at]
 */
export function keepSteps(session, data, account, steps, at = Date.now()) {
  try {
    session.setItem(keyOf(data, account), JSON.stringify({ ...steps, clip: data.clip?.id ?? "", at }));
  } catch {
    session.removeItem(keyOf(data, account)); // too much for the store: better none than those of another day
  }
}

/**
 * Taken up once.
 * @param {Storage} session
 * @param {import("./types.js").DeskData} data
 * @param {string} account
 * @param {number} [now]
 * @returns {Steps}
 */
export function keptSteps(session, data, account, now = Date.now()) {
  const key = keyOf(data, account);
  const kept = JSON.parse(session.getItem(key) ?? "null");
  session.removeItem(key);
  const isOurs = kept && kept.clip === (data.clip?.id ?? "") && now - kept.at < KEPT_MS;
  return isOurs ? kept : { done: [], undone: [], saying: "" };
}

// @ts-check
/** What to do when an upload's line fails or falls silent. Pure. */

export const SILENT_MS = 4000; // no byte for so long: say that we wait
export const DEAD_MS = 25000; // for so long: begin the request anew
export const CHECKING_MS = 180000; // the server looks at the whole film before it answers
const PAUSES_MS = [1000, 2000, 4000, 8000, 12000];

/**
 * @param {number} failures one after the other, without a byte between
 * @returns {number} milliseconds to wait
 */
export const pauseAfter = (failures) => PAUSES_MS[Math.min(failures, PAUSES_MS.length) - 1] ?? PAUSES_MS[0];

/** @typedef {{kind: "wait"} | {kind: "refused", words: string}} Meaning */

/**
 * What an answer that is no success means: that we try again, or that there is no use in it.
 *
 * @param {number} status 0 where there was no answer
 * @param {string} text
 * @returns {Meaning}
 */
export function meaningOf(status, text) {
  const words = wordsOf(text);
  if (words) return { kind: "refused", words };
  const passes = status === 0 || status === 408 || status === 409 || status === 423 || status === 429 || status >= 500;
  return passes ? { kind: "wait" } : { kind: "refused", words: "" };
}

/**
 * @param {string} text
 * @returns {string} the server's own words to the family, if it sent any
 */
function wordsOf(text) {
  try {
    const answer = JSON.parse(text);
    return typeof answer?.words === "string" ? answer.words : "";
  } catch {
    return "";
  }
}

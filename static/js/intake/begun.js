// @ts-check
/**
 * Uploads of this submission that broke off, as the server tells them, and which of them a chosen file goes on with.
 */

/** @typedef {{url: string, name: string, size: number, mark: string, percent: number}} Begun */

/**
 * @param {string | undefined} text the JSON list that the page carries
 * @returns {Begun[]}
 */
export const listed = (text) => JSON.parse(text || "[]");

/**
 * @param {Begun[]} list
 * @param {number} size
 * @param {string} mark
 * @returns {Begun | null} the upload of this very file
 */
export const sameFile = (list, size, mark) =>
  list.find((one) => mark !== "" && one.size === size && one.mark === mark) ?? null;

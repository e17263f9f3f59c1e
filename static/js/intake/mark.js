// @ts-check
/**
 * What a chosen file is known by, so that a broken upload goes on with the same file and never with another: a hash of
 * its size and of pieces from all over it. Reading a whole film would take a phone a minute.
 */

const PIECES = 16;
const PIECE = 64 * 1024;

/**
 * @param {number} size
 * @returns {[number, number][]} where each piece begins and ends; the first and the last bytes are among them
 */
export function piecesOf(size) {
  if (size <= PIECES * PIECE) return [[0, size]];
  const step = (size - PIECE) / (PIECES - 1);
  return Array.from({ length: PIECES }, (_, n) => [Math.floor(n * step), Math.floor(n * step) + PIECE]);
}

/**
 * @param {Blob} file
 * @returns {Promise<string>} "" where the browser has no hash (a page without TLS): then every upload starts anew
 */
export async function markOf(file) {
  if (!globalThis.crypto?.subtle) return "";
  const pieces = piecesOf(file.size).map(([start, end]) => file.slice(start, end));
  const bytes = await new Blob([`${file.size} `, ...pieces]).arrayBuffer();
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

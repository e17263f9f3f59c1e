// @ts-check
/** How long the rest will take, from how fast the last seconds went. Pure: times are handed in. */

const WINDOW_MS = 8000;
const LEAST_MS = 1500; // before that the pace is a guess

/** @typedef {{at: number, sent: number}} Mark  milliseconds and bytes */

/**
 * @param {Mark[]} marks earlier marks, oldest first
 * @param {Mark} mark
 * @returns {Mark[]} the marks of the last seconds, the new one at the end
 */
export function noted(marks, mark) {
  return [...marks.filter((old) => mark.at - old.at <= WINDOW_MS), mark];
}

/**
 * @param {Mark[]} marks
 * @param {number} total bytes
 * @returns {number | null} seconds, rounded up; null while nobody can know
 */
export function secondsLeft(marks, total) {
  const [first, last] = [marks[0], marks[marks.length - 1]];
  if (!first || !last || last.at - first.at < LEAST_MS || last.sent <= first.sent) return null;
  const pace = (last.sent - first.sent) / (last.at - first.at);
  return Math.ceil((total - last.sent) / pace / 1000);
}

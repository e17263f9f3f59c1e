// @ts-check
/** How long the rest of an upload will take, from its rate in the last seconds. Pure: times are handed in. */

const WINDOW_MS = 8000;
const LEAST_MS = 1500; // before that the rate is a guess

/** @typedef {{at: number, sent: number}} Sample  milliseconds, and bytes sent by then */

/**
 * @param {Sample[]} samples earlier ones, oldest first
 * @param {Sample} sample
 * @returns {Sample[]} those of the last seconds, the new one at the end
 */
export function withSample(samples, sample) {
  return [...samples.filter((old) => sample.at - old.at <= WINDOW_MS), sample];
}

/**
 * @param {Sample[]} samples
 * @param {number} total bytes
 * @returns {number | null} seconds, rounded up; null while nobody can know
 */
export function secondsLeft(samples, total) {
  const [first, last] = [samples[0], samples[samples.length - 1]];
  if (!first || !last || last.at - first.at < LEAST_MS || last.sent <= first.sent) return null;
  const rate = (last.sent - first.sent) / (last.at - first.at);
  return Math.ceil((total - last.sent) / rate / 1000);
}

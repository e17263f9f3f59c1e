// @ts-check
/** Where things lie on the clip's time line, apart from any page: 1000 across, HEIGHT down. */

export const HEIGHT = 44;
const WAVE = 26;
const LETTER = 6.6; // pixels of a letter of 12, on average and rather more
const APART = 8;
const FIRST = ["contact", "foot_down", "set_up", "finish", "load", "extension", "swing_start"];

/**
 * The middle of a frame.
 * @param {number} frame
 * @param {number} count  frames of the clip
 */
export const placeOf = (frame, count) => (1000 * (frame + 0.5)) / count;

/**
 * How loud it was, as an area on the lower edge.
 * @param {number[]} sound  0 to 99
 */
export function soundPath(sound) {
  const tops = sound.map(
    (level, i) => `L${((1000 * (i + 0.5)) / sound.length).toFixed(1)} ${(HEIGHT - (WAVE * level) / 99).toFixed(1)}`,
  );
  return `M0 ${HEIGHT}${tops.join("")}L1000 ${HEIGHT}Z`;
}

/**
 * The names that have room, each near its instant; names that tell the most come first.
 * @param {Record<string, number>} instants  frames
 * @param {Record<string, string>} names
 * @param {number} count
 * @param {number} width  pixels
 * @returns {{name: string, left: number, words: string}[]}
 */
export function labelled(instants, names, count, width) {
  /** @type {{name: string, left: number, right: number, words: string}[]} */
  const put = [];
  for (const name of FIRST) {
    if (!(name in instants) || !names[name]) continue;
    const words = names[name];
    const size = words.length * LETTER;
    const left = Math.max(0, Math.min(width - size, (width * placeOf(instants[name], count)) / 1000 - size / 2));
    if (put.every((other) => left > other.right + APART || left + size + APART < other.left))
      put.push({ name, left: Math.round(left), right: left + size, words });
  }
  return put.map(({ name, left, words }) => ({ name, left, words }));
}

// @ts-check
/**
 * Which drills help with a checkpoint on one side of its band (portal/drills/fitting.py is its twin): what helps
 * against too little is wrong against too much.
 * @typedef {import("./types.js").Drill} Drill
 */

export const FIT = { thisSide: 0, bothSides: 1, notSure: 2, elsewhere: 3, otherSide: 4 };

/**
 * @param {Drill} drill
 * @param {string} checkpoint
 * @param {string} side  "low", "high", or "" where it is not sure
 */
export function fit(drill, checkpoint, side) {
  if (!drill.trains.includes(checkpoint)) return FIT.elsewhere;
  const against = drill.against[checkpoint];
  if (against === "both") return FIT.bothSides;
  if (!side || !against) return FIT.notSure;
  return against === side ? FIT.thisSide : FIT.otherSide;
}

/**
 * Drills that fit before others; of those that fit alike, the one for which this checkpoint comes first.
 * @param {Drill[]} drills
 * @param {string} checkpoint
 * @param {string} side
 */
export function bestFirst(drills, checkpoint, side) {
  const place = (/** @type {Drill} */ drill) => Math.max(drill.trains.indexOf(checkpoint), 0);
  const compared = (/** @type {Drill} */ a, /** @type {Drill} */ b) =>
    fit(a, checkpoint, side) - fit(b, checkpoint, side) ||
    place(a) - place(b) ||
    Number(a.title > b.title) - Number(a.title < b.title);
  return [...drills].sort(compared);
}

// @ts-check
/** The order in which the instants of a swing come: one that is put on the wrong side of another is said. */

// the hands may go before the foot is down
const EITHER = ["foot_down", "swing_start"];

/**
 * What is said of an instant that is put on a frame, and of which other one it then lies on the wrong side: one of
 * the two is wrong.
 * @param {Record<string, {frame: number|null}>} instants
 * @param {string[]} order
 * @param {string} stop
 * @param {number} frame
 * @returns {[string, string]}
 */
export function outOfOrder(instants, order, stop, frame) {
  const others = order.filter((name) => name !== stop && !(EITHER.includes(name) && EITHER.includes(stop)));
  for (const other of others) {
    const at = instants[other]?.frame;
    if (at === undefined || at === null) continue;
    const comesFirst = order.indexOf(other) < order.indexOf(stop);
    if (comesFirst && frame < at) return ["did_instant_before", other];
    if (!comesFirst && frame > at) return ["did_instant_after", other];
  }
  return ["did_instant", ""];
}

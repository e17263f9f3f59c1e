// @ts-check
/**
 * The line under the tools while points are put in place: which one is chosen, where it comes from, and the way without
 * a pointer: chosen from the list, then moved by the arrow keys, one pixel of the clip or ten with Shift.
 * @typedef {import("./film.js").Film} Film
 */
import { isBatEnd } from "./holds.js";
import { arrowKeys, byId, filled } from "./page.js";

/**
 * Gives back what shows the bar anew.
 * @param {Film} film
 * @param {Record<string, string>} messages
 */
export function pointsBar(film, messages) {
  const { tools, bodies } = film;
  const { points } = tools;
  const list = /** @type {HTMLSelectElement} */ (byId("point"));
  const move = /** @type {HTMLButtonElement} */ (byId("point-move"));
  list.addEventListener("change", () => points.choose(list.value));
  move.addEventListener("click", () => points.add());
  arrowKeys(
    move,
    (by) => points.nudge(by),
    () => points.putDown(),
    () => points.here !== null,
  );
  const show = () => {
    byId("points-bar").hidden = tools.tool !== "points";
    list.value = points.chosen;
    const words = messages[state(points, bodies.at(film.frame) === null)];
    if (byId("point-words").textContent !== words) byId("point-words").textContent = words;
    const isMissing = points.chosen !== "" && !points.here;
    move.disabled = points.chosen === ""; // never hidden: the film must not grow or shrink while a point is moved
    move.textContent = messages[isMissing ? "point_add" : "point_move"];
    const named = messages[isMissing ? "point_add_named" : "point_move_named"];
    move.setAttribute("aria-label", filled(named, { name: list.selectedOptions[0]?.text ?? "" }));
    /** @type {HTMLButtonElement} */ (byId("point-back")).disabled = !points.isPlaced;
  };
  for (const one of [tools, points, bodies]) one.addEventListener("change", show);
  show();
  return show;
}

/**
 * @param {import("./points.js").Points} points
 * @param {boolean} isComing
 */
function state(points, isComing) {
  if (points.chosen === "" || isComing) return "point_none";
  if (!points.here) return isBatEnd(points.chosen) ? "bat_missing" : "point_missing";
  return points.isPlaced ? "point_placed" : "point_seen";
}

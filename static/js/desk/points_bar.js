// @ts-check
/**
 * The line under the tools while points are put in place: which one is chosen, where it comes from, and the way without a
 * pointer: chosen from the list, then moved by the arrow keys, one pixel of the clip or ten with Shift.
 * @typedef {import("./film.js").Film} Film
 */
import { arrowKeys, byId, field, filled } from "./page.js";

/**
 * Gives back what shows the bar anew.
 * @param {Film} film @param {Record<string, string>} messages
 */
export function pointsBar(film, messages) {
  const { tools, bodies } = film;
  const { points } = tools;
  const list = field("point");
  const move = /** @type {HTMLButtonElement} */ (byId("point-move"));
  list.addEventListener("change", () => points.choose(list.value));
  move.addEventListener("click", () => points.add());
  arrowKeys(move, (by) => points.nudge(by), () => points.putDown(), () => points.here !== null);
  const show = () => {
    byId("points-bar").hidden = tools.tool !== "points";
    list.value = points.chosen;
    const words = messages[state(points, bodies.at(film.frame) === null)];
    if (byId("point-words").textContent !== words) byId("point-words").textContent = words;
    // never hidden: the film must not grow or shrink while a point is moved
    const isMissing = points.chosen !== "" && !points.here;
    move.disabled = points.chosen === "";
    const [name] = /** @type {HTMLSelectElement} */ (byId("point")).selectedOptions;
    move.textContent = messages[isMissing ? "point_add" : "point_move"];
    move.setAttribute("aria-label", filled(messages[isMissing ? "point_add_named" : "point_move_named"], { name: name?.text ?? "" }));
    /** @type {HTMLButtonElement} */ (byId("point-back")).disabled = !points.isPlaced;
  };
  for (const one of [tools, points, bodies]) one.addEventListener("change", show);
  show();
  return show;
}

/** @param {import("./points.js").Points} points @param {boolean} isComing */
function state(points, isComing) {
  if (points.chosen === "" || isComing) return "point_none";
  if (!points.here) return points.chosen === "knob" || points.chosen === "barrel" ? "bat_missing" : "point_missing";
  return points.isPlaced ? "point_placed" : "point_seen";
}

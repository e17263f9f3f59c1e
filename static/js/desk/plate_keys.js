// @ts-check
/**
 * The plate's corners without a pointer: one button each. Pressed, the next corner lands beside the hitter's feet; the arrow
 * keys then move the corner whose button has the focus, by one pixel of the clip, or ten with Shift.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./plate.js").Plate} Plate
 */
import { byId, filled, made } from "./page.js";
import { CORNERS } from "./plate.js";

const WAYS = /** @type {Record<string, Point>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] });
const FAR = 10;

/** @param {Plate} plate @param {Record<string, string>} messages */
export function plateKeys(plate, messages) {
  const buttons = Array.from({ length: CORNERS }, (_one, n) => cornerButton(plate, n, filled(messages.plate_corner, { n: n + 1 })));
  byId("plate-corners").replaceChildren(...buttons);
  const show = () => {
    const count = plate.shown().length;
    buttons.forEach((button, n) => (button.disabled = n > count));
  };
  plate.addEventListener("change", show);
  return show;
}

/** @param {Plate} plate @param {number} n @param {string} name */
function cornerButton(plate, n, name) {
  const button = made("button", { type: "button", "aria-label": name, text: n + 1 });
  button.addEventListener("click", () => plate.shown().length === n && plate.add(n));
  button.addEventListener("keydown", (event) => {
    const way = WAYS[event.key];
    if (!way || event.ctrlKey || event.altKey || event.metaKey || n >= plate.shown().length) return;
    event.preventDefault(); // not a step of the film
    const by = event.shiftKey ? FAR : 1;
    plate.nudge(n, [way[0] * by, way[1] * by]);
  });
  for (const end of ["keyup", "blur"]) button.addEventListener(end, () => plate.letGo(null));
  return button;
}

// @ts-check
/**
 * The plate's corners without a pointer: one button each. Pressed, the next corner lands beside the hitter's feet; the
 * arrow keys then move the corner whose button has the focus, by one pixel of the clip, or ten with Shift.
 * @typedef {import("./plate.js").Plate} Plate
 */
import { arrowKeys, byId, filled, made } from "./page.js";
import { CORNERS } from "./plate.js";

/**
 * @param {Plate} plate
 * @param {Record<string, string>} messages
 */
export function plateKeys(plate, messages) {
  const buttons = Array.from({ length: CORNERS }, (_one, n) =>
    cornerButton(plate, n, filled(messages.plate_corner, { n: n + 1 })),
  );
  byId("plate-corners").replaceChildren(...buttons);
  const show = () => {
    const count = plate.shown().length;
    buttons.forEach((button, n) => (button.disabled = n > count));
  };
  plate.addEventListener("change", show);
  return show;
}

/**
 * @param {Plate} plate
 * @param {number} n
 * @param {string} name
 */
function cornerButton(plate, n, name) {
  const button = made("button", { type: "button", "aria-label": name, text: n + 1 });
  button.addEventListener("click", () => plate.shown().length === n && plate.add(n));
  arrowKeys(
    button,
    (by) => plate.nudge(n, by),
    () => plate.letGo(null),
    () => n < plate.shown().length,
  );
  return button;
}

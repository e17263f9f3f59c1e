// @ts-check
/** The buttons of the desk: they do what the keys of the same name do. */
import { all, byId, hear } from "./page.js";

/**
 * @typedef {object} ButtonsNeeds  what it needs of the other parts of the desk
 * @property {Record<string, (...given: any[]) => void>} acts
 * @property {import("./cards.js").Cards} cards
 * @property {import("./film.js").Film|null} film
 */

/** @param {ButtonsNeeds} parts */
export function wireButtons(parts) {
  const { acts } = parts;
  const does = { back: () => acts.step(-1), forward: () => acts.step(1) };
  hear(parts.cards, "wanted", (id) => acts.wanted(id));
  byId("next-stop").addEventListener("click", () => acts.next());
  byId("write-up-toggle").addEventListener("click", () => acts.writeUp());
  for (const button of all(".film-area [data-do]")) {
    const name = /** @type {string} */ (button.dataset.do);
    const act = /** @type {Record<string, () => void>} */ ({ ...acts, ...does })[name];
    if (!act) throw new Error(`Nothing on the parts does “${name}”.`);
    button.addEventListener("click", () => act());
  }
  for (const button of all("button[data-tool]"))
    button.addEventListener("click", (event) => takeTool(parts, button, event));
  for (const button of all("[data-tone]"))
    button.addEventListener("click", () => parts.film?.tools.setTone(/** @type {any} */ (button.dataset.tone)));
  for (const button of all("dialog [data-close]"))
    button.addEventListener("click", () => button.closest("dialog")?.close());
}

/**
 * After a click the keys belong to the film again.
 * @param {ButtonsNeeds} parts
 * @param {HTMLElement} button
 * @param {MouseEvent} event
 */
function takeTool(parts, button, event) {
  if (button.id === "angle-tool")
    parts.acts.angle(); // again: the next kind, for the line that names them may be the picture's
  else parts.film?.tools.choose(/** @type {any} */ (button.dataset.tool));
  if (event.detail) parts.film?.viewport.box.focus({ preventScroll: true });
}

// @ts-check
/** The buttons of the desk: they do what the keys of the same name do. */
import { all, byId } from "./page.js";

/** @param {import("./desk.js").Desk} desk */
export function wireButtons(desk) {
  const { acts } = desk;
  const does = { back: () => acts.step(-1), forward: () => acts.step(1) };
  desk.cards.addEventListener("wanted", (event) => acts.wanted(/** @type {CustomEvent} */ (event).detail));
  byId("next-stop").addEventListener("click", () => acts.next());
  byId("write-up-toggle").addEventListener("click", () => acts.writeUp());
  for (const button of all(".stage [data-do]")) {
    const name = /** @type {string} */ (button.dataset.do);
    const act = /** @type {Record<string, () => void>} */ ({ ...acts, ...does })[name];
    if (!act) throw new Error(`Nothing on the desk does “${name}”.`);
    button.addEventListener("click", () => act());
  }
  for (const button of all("button[data-tool]"))
    button.addEventListener("click", (event) => takeTool(desk, button, event));
  for (const button of all("[data-tone]"))
    button.addEventListener("click", () => desk.film?.tools.setTone(/** @type {any} */ (button.dataset.tone)));
  for (const button of all("dialog [data-close]"))
    button.addEventListener("click", () => button.closest("dialog")?.close());
}

/**
 * After a click the keys belong to the film again.
 * @param {import("./desk.js").Desk} desk
 * @param {HTMLElement} button
 * @param {MouseEvent} event
 */
function takeTool(desk, button, event) {
  if (button.id === "angle-tool")
    desk.acts.angle(); // again: the next kind, for the line that names them may be the picture's
  else desk.film?.tools.choose(/** @type {any} */ (button.dataset.tool));
  if (event.detail) desk.film?.stage.box.focus({ preventScroll: true });
}

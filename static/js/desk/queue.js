// @ts-check
/** Enter opens the first clip that waits, while nothing else on the page has the focus. */
import { made } from "./page.js";

const first = /** @type {HTMLElement|null} */ (document.querySelector("[data-opens]"));
first?.append(" ", made("kbd", { text: "Enter" }));

document.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.repeat || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
  const { activeElement: focus } = document;
  if (!first || (focus && focus !== document.body && focus.id !== "main")) return;
  event.preventDefault();
  first.click();
});

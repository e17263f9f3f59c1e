// @ts-check
/** The panel with what holds for the whole film: view, hand and speed, as measured or as the coach knows better. */
import { byId, field } from "./page.js";
import { filmIs } from "./moves.js";

/** @param {import("./corrections.js").Correcting} correcting @param {Record<string, any>} film  as the reading has it */
export function filmPanel(correcting, film) {
  const dialog = /** @type {HTMLDialogElement} */ (byId("film-panel"));
  byId("film-open").addEventListener("click", () => dialog.showModal());
  byId("film-form").addEventListener("submit", () => {
    /** @type {Record<string, any>} */
    const changed = {};
    for (const name of ["view", "hand"]) {
      const value = field(`film-${name}`).value;
      if (value !== (film[name] ?? "")) changed[name] = value;
    }
    const speed = field("film-speed").value;
    if (speed && Number(speed) !== film.speed_factor) changed.speed_factor = Number(speed);
    if (film.speed_suspect && speed) changed.speed_factor = Number(speed);
    if (Object.keys(changed).length) correcting.make(filmIs(changed));
  });
}

// @ts-check
/** The panel with what holds for the whole film: view, hand and speed, as measured or as the coach knows better. */
import { byId, field, filled } from "./page.js";

/**
 * Gives back what shows a newer reading in the panel.
 * @param {import("./corrections.js").Correcting} correcting
 * @param {(film: Record<string, any>) => void} set
 * @param {() => Record<string, any>} film  as the reading has it
 * @param {boolean} editable
 * @param {Record<string, string>} messages
 */
export function filmPanel(correcting, set, film, editable, messages) {
  const dialog = /** @type {HTMLDialogElement} */ (byId("film-panel"));
  byId("film-open").addEventListener("click", () => {
    fill(); // what was chosen, but closed without "Read again", goes into no later reading
    dialog.showModal();
  });
  byId("film-form").addEventListener("submit", () => {
    const changed = changes(film(), correcting.now.speed_factor ?? null);
    if (Object.keys(changed).length) set(changed);
  });
  document.getElementById("film-measured")?.addEventListener("click", () => {
    dialog.close();
    set({ view: null, hand: null, speed_factor: null });
  });
  const fill = () => {
    field("film-view").value = film().view ?? "unknown";
    field("film-hand").value = film().hand ?? "";
    // A film that seems slowed down has no speed yet; what it seems to be stands there to be confirmed.
    const { speed_factor: settled = null, speed_proposed: seems = null } = film();
    field("film-speed").value = String(settled ?? seems ?? "");
    const isOpen = settled === null && seems !== null;
    byId("film-speed-seems").textContent = isOpen
      ? filled(messages.speed_seems, { n: Math.round(10 * seems) / 10 })
      : "";
    const { view, hand, speed_factor: speed } = correcting.now;
    const back = document.getElementById("film-measured");
    if (back) back.hidden = !editable || ![view, hand, speed].some((given) => given !== undefined && given !== null);
  };
  fill();
  return fill;
}

/**
 * What the form says otherwise than the reading. An emptied speed gives it back to the measuring.
 * @param {Record<string, any>} film
 * @param {number|null} given  the speed that the coach gave before
 */
function changes(film, given) {
  /** @type {Record<string, any>} */
  const changed = {};
  for (const name of ["view", "hand"]) {
    const { value } = field(`film-${name}`);
    if (value && value !== film[name]) changed[name] = value;
  }
  const { value: speed } = field("film-speed");
  if (speed ? Number(speed) !== film.speed_factor || (film.speed_suspect && given === null) : given !== null) {
    changed.speed_factor = speed ? Number(speed) : null;
  }
  return changed;
}

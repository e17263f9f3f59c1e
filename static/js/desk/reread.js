// @ts-check
/**
 * A film that is read again while its desk is open: the window is told so, and goes on with what it shows until then.
 */
import { made } from "./page.js";
import { notice } from "./status.js";

/**
 * @param {import("./saving.js").Saving} saving
 * @param {import("./corrections.js").Correcting|null} correcting
 * @param {import("./types.js").DeskData} data
 */
export function watchReading(saving, correcting, data) {
  let isTold = false;
  /** @param {Event} event */
  const hear = (event) => {
    const { news } = /** @type {CustomEvent<{news?: string}>} */ (event).detail;
    if (isTold || !news || news === data.news) return;
    isTold = true;
    const again = made("button", { type: "button", class: "act", text: data.messages.load_again });
    again.addEventListener("click", () => void saving.settled().then(() => location.reload()));
    notice(data.messages.read_anew, again);
  };
  saving.addEventListener("said", hear);
  correcting?.addEventListener("read", hear);
}

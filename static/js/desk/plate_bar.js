// @ts-check
/** The line under the tools while the plate is marked: how far it is, whether it is used, and the way back. */
import { byId, filled } from "./page.js";
import { CORNERS } from "./plate.js";
import { plateKeys } from "./plate_keys.js";

export class PlateBar {
  /**
   * @param {import("./film.js").Film} film
   * @param {Record<string, string>} messages
   * @param {boolean|null} fits
   */
  constructor(film, messages, fits) {
    this.film = film;
    this.messages = messages;
    this.fits = fits;
    this.showCorners = plateKeys(film.tools.plate, messages);
    film.tools.addEventListener("change", () => this.show());
    film.tools.plate.addEventListener("change", () => this.show());
    film.bodies.addEventListener("change", () => this.show());
    this.show();
  }

  /** @param {boolean|null} fits  whether the corners look like a plate on the ground; null without any */
  say(fits) {
    this.fits = fits;
    this.show();
  }

  show() {
    const { plate, tool } = this.film.tools;
    byId("plate-bar").hidden = tool !== "plate";
    this.showCorners();
    const words = this.words(plate.placed !== null, plate.growing.length);
    if (byId("plate-words").textContent !== words) byId("plate-words").textContent = words;
    // never hidden: the film must not grow or shrink between two corners
    /** @type {HTMLButtonElement} */ (byId("plate-back")).disabled = !plate.placed && !plate.growing.length;
  }

  /**
   * @param {boolean} isPlaced
   * @param {number} marked
   */
  words(isPlaced, marked) {
    if (!isPlaced) return filled(this.messages.plate_marking, { n: marked, all: CORNERS });
    if (this.fits === null) return this.messages.reading_again;
    return this.messages[this.fits ? "plate_used" : "plate_odd"];
  }
}

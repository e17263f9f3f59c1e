// @ts-check
/** The walk along the stops: which one the coach stands at, the contact sheet's stills, the address. */
import { around } from "./limbs.js";
import { all } from "./page.js";

export class Walk extends EventTarget {
  /**
   * @param {string[]} stops
   * @param {string} stop
   * @param {string} base  the desk's address
   */
  constructor(stops, stop, base) {
    super();
    this.stops = stops;
    this.stop = stop;
    this.base = base;
    this.links = all(".stop[data-stop]");
    for (const link of this.links) link.addEventListener("click", (event) => this.click(event, link));
    addEventListener("popstate", (event) => this.go(event.state?.stop ?? this.stops[0], false));
  }

  /**
   * A plain click walks; one with a modifier opens a window as links do.
   * @param {MouseEvent} event
   * @param {HTMLElement} link
   */
  click(event, link) {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
    event.preventDefault();
    this.go(/** @type {string} */ (link.dataset.stop));
  }

  get next() {
    return this.stops[Math.min(this.stops.indexOf(this.stop) + 1, this.stops.length - 1)];
  }

  /**
   * @param {string} stop
   * @param {boolean} [isNew]  whether it becomes a step of the browser's history
   */
  go(stop, isNew = true) {
    if (!this.stops.includes(stop)) return;
    if (isNew && stop !== this.stop) history.pushState({ stop }, "", `${this.base}${stop}/`);
    this.stop = stop;
    for (const link of this.links) {
      if (link.dataset.stop === stop) link.setAttribute("aria-current", "step");
      else link.removeAttribute("aria-current");
    }
    this.showHere();
    this.dispatchEvent(new Event("stop"));
  }

  /** On a narrow screen the sheet scrolls to the stop. */
  showHere() {
    this.links.find((link) => link.dataset.stop === this.stop)?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /** @param {Element} cards  fresh cards, whose hidden words say how each stop is rated */
  tally(cards) {
    for (const card of all("[data-card]", cards)) this.tallyOf(/** @type {string} */ (card.dataset.card), card);
  }

  /**
   * @param {string} stop
   * @param {Element} card
   */
  tallyOf(stop, card) {
    const link = this.links.find((one) => one.dataset.stop === stop);
    for (const part of ["tally", "tally-words"]) {
      const [from, to] = [card.querySelector(`[data-card-${part}]`), link?.querySelector(`[data-${part}]`)];
      if (from && to) to.textContent = from.textContent;
    }
  }

  /**
   * The still of a stop, cut out around the hitter.
   * @param {string} stop
   * @param {ImageBitmap} picture
   * @param {{width: number, height: number}} clip
   * @param {[number, number, number, number]|null} box
   */
  still(stop, picture, clip, box) {
    const canvas = this.links.find((link) => link.dataset.stop === stop)?.querySelector("canvas");
    const ink = canvas?.getContext("2d");
    if (!canvas || !ink) return;
    const part = around(box, clip, canvas.width / canvas.height);
    const scale = picture.width / clip.width;
    ink.imageSmoothingQuality = "high";
    ink.drawImage(
      picture,
      part.x * scale,
      part.y * scale,
      part.width * scale,
      part.height * scale,
      0,
      0,
      canvas.width,
      canvas.height,
    );
  }
}

// @ts-check
/**
 * The cards of the stops: which point has the coach's eye, ratings, words, and fresh readings put in place.
 * @typedef {import("./types.js").Rating} Rating
 */
import { all, byId, parsed } from "./page.js";
import { byPointer } from "./press.js";

const TALLY = /** @type {Record<string, string>} */ ({ good: "●", watch: "◐", work_on: "◇", "": "·" });

export class Cards extends EventTarget {
  /**
   * @param {Record<string, Rating>} ratings
   * @param {string} thing
   */
  constructor(ratings, thing) {
    super();
    this.box = byId("cards");
    this.ratings = ratings;
    this.thing = thing;
    this.stop = "";
    for (const point of this.points()) this.wire(point);
  }

  /** @param {string} [stop] */
  points(stop) {
    return all(stop ? `[data-card="${stop}"] [data-checkpoint]` : "[data-checkpoint]", this.box);
  }

  /** The point that has the coach's eye, or null at a stop without one. */
  get here() {
    return /** @type {HTMLElement|null} */ (this.box.querySelector(".stop-card:not([hidden]) .point.here"));
  }

  /** @param {string} stop */
  show(stop) {
    this.stop = stop;
    for (const card of all("[data-card]", this.box)) card.hidden = card.dataset.card !== stop;
    const points = this.points(stop);
    const first = points.find((point) => !this.isRated(idOf(point))) ?? points[0];
    if (first) this.attend(first, false);
  }

  /** The point that was rated last by key, while the eye is on the next one. */
  get said() {
    return /** @type {HTMLElement|null} */ (this.box.querySelector(".stop-card:not([hidden]) .point.just"));
  }

  /** What the coach means: the point just rated, until another one is chosen. */
  get meant() {
    return this.said ?? this.here;
  }

  /**
   * @param {HTMLElement} point
   * @param {boolean} [scrolls]
   * @param {HTMLElement|null} [said]  the point that was just rated
   */
  attend(point, scrolls = true, said = null) {
    for (const other of all(".point.here, .point.open, .point.just", this.box))
      if (other !== point) other.classList.remove("here", "open", "just");
    point.classList.remove("just");
    point.classList.add("here", "open");
    said?.classList.add("just");
    if (scrolls) point.scrollIntoView({ block: "nearest" });
  }

  /**
   * With the pointer: cards above stay open, so that nothing slides away under it.
   * @param {HTMLElement} point
   */
  attendUnder(point) {
    point.classList.remove("just");
    for (const other of all(".point.here, .point.open, .point.just", this.box)) {
      if (other === point) continue;
      other.classList.remove("here");
      if (other.matches(".just")) other.classList.replace("just", "open"); // as high as before, or higher
      if (point.compareDocumentPosition(other) & Node.DOCUMENT_POSITION_FOLLOWING) other.classList.remove("open");
    }
    point.classList.add("here", "open");
  }

  /** @param {1|-1} by */
  step(by) {
    const points = this.points(this.stop);
    const at = this.here ? points.indexOf(this.here) : -1;
    const next = points[Math.max(0, Math.min(points.length - 1, at + by))];
    if (next) this.attend(next);
  }

  /** The next point without a rating has the eye. */
  stepOn() {
    const points = this.points(this.stop);
    const at = this.here ? points.indexOf(this.here) : -1;
    const next = points.slice(at + 1).find((point) => !this.isRated(idOf(point)));
    if (next) this.attend(next, true, this.here);
  }

  /** @param {HTMLElement} point */
  wire(point) {
    const id = idOf(point);
    this.paint(point);
    point.addEventListener("click", () => byPointer() && this.attendUnder(point));
    point.addEventListener("focusin", () => byPointer() || this.attend(point, false));
    for (const radio of all("input[type=radio]", point)) {
      radio.addEventListener("change", () => this.rate(id, /** @type {HTMLInputElement} */ (radio).value));
      // after a click the arrow keys belong to the film again
      radio.addEventListener("click", (event) => event.detail > 0 && point.focus({ preventScroll: true }));
    }
    const words = /** @type {HTMLInputElement|null} */ (point.querySelector("[data-words]"));
    for (const typed of ["input", "change"]) words?.addEventListener(typed, () => this.write(id, words.value));
    for (const button of all("[data-do]", point)) {
      button.addEventListener("click", () =>
        this.dispatchEvent(new CustomEvent(/** @type {string} */ (button.dataset.do), { detail: id })),
      );
    }
  }

  /**
   * The same rate again takes it back.
   * @param {string} id
   * @param {string} rate
   * @param {boolean} [canTakeBack]
   */
  rate(id, rate, canTakeBack = false) {
    const old = this.ratings[id];
    const words =
      old?.words ?? /** @type {HTMLInputElement|null} */ (this.point(id)?.querySelector("[data-words]"))?.value ?? "";
    this.give(id, { rate: canTakeBack && old?.rate === rate ? "" : rate, words });
  }

  /**
   * Words alone rate nothing: only the coach does.
   * @param {string} id
   * @param {string} words
   */
  write(id, words) {
    const old = this.ratings[id];
    if ((old?.words ?? "") !== words) this.give(id, { rate: old?.rate ?? "", words });
  }

  /**
   * A rate or words stand; without either there is no rating.
   * @param {string} id
   * @param {Rating} rating
   */
  give(id, rating) {
    const old = this.ratings[id];
    if (rating.rate || rating.words.trim()) this.ratings[id] = rating;
    else if (old) delete this.ratings[id];
    else return; // nothing stood here, and nothing does
    this.tell(id, old);
  }

  /** @param {string} id */
  isRated(id) {
    return Boolean(this.ratings[id]?.rate);
  }

  /**
   * This rating stands, or none.
   * @param {string} id
   * @param {Rating|undefined} rating
   */
  put(id, rating) {
    const old = this.ratings[id];
    if (rating) this.ratings[id] = rating;
    else delete this.ratings[id];
    const words = /** @type {HTMLInputElement|null|undefined} */ (this.point(id)?.querySelector("[data-words]"));
    if (words) words.value = rating?.words ?? "";
    this.tell(id, old);
  }

  /**
   * @param {string} id
   * @param {Rating|undefined} was
   */
  tell(id, was) {
    const point = this.point(id);
    if (point) this.paint(point);
    this.dispatchEvent(new CustomEvent("rated", { detail: { id, was, now: this.ratings[id] } }));
  }

  /** @param {string} id */
  setThing(id) {
    this.thing = id;
    for (const point of this.points()) this.paint(point);
  }

  /** @param {string} id */
  point(id) {
    return this.points().find((point) => idOf(point) === id) ?? null;
  }

  /**
   * The side of the band on which a checkpoint's value surely lies: "low", "high" or "".
   * @param {string} id
   */
  missed(id) {
    return this.box.querySelector(`[data-checkpoint="${id}"] [data-part=missed]`)?.textContent ?? "";
  }

  /**
   * The value of a checkpoint as it stands on its card, with its unit; "" where none was read.
   * @param {string} id
   */
  valueOf(id) {
    const words =
      this.box.querySelector(`[data-checkpoint="${id}"] [data-part=value]`)?.textContent?.replace(/\s+/g, " ").trim() ??
      "";
    return /\d/.test(words) ? words : "";
  }

  /** @param {HTMLElement} point */
  paint(point) {
    const id = idOf(point);
    const rate = this.ratings[id]?.rate ?? "";
    for (const radio of all("input[type=radio]", point))
      /** @type {HTMLInputElement} */ (radio).checked = /** @type {HTMLInputElement} */ (radio).value === rate;
    point.classList.toggle("thing", id === this.thing);
    point.dataset.rate = rate;
    for (const mark of all("[data-is-thing]", point)) mark.hidden = id !== this.thing;
    for (const button of all("[data-if-good]", point)) button.hidden = rate !== "good";
    for (const button of all("[data-do=thing]", point)) button.hidden = id === this.thing;
  }

  /**
   * Fresh readings in place of the old; what the coach is writing stays.
   * @param {string} html
   * @returns {Element} the fresh cards
   */
  refresh(html) {
    const fresh = parsed(html);
    for (const point of this.points()) {
      const now = fresh.querySelector(`[data-checkpoint="${idOf(point)}"]`);
      for (const part of all(".measured", point)) {
        const other = now?.querySelector(`.measured[data-part="${part.dataset.part}"]`);
        if (other && other.innerHTML !== part.innerHTML) {
          part.replaceChildren(...other.childNodes);
          part.classList.add("fresh");
          setTimeout(() => part.classList.remove("fresh"), 1200);
        }
      }
    }
    for (const card of all("[data-card]", this.box)) {
      const [old, now] = [
        card.querySelector("[data-when]"),
        fresh.querySelector(`[data-card="${card.dataset.card}"] [data-when]`),
      ];
      if (old && now) old.textContent = now.textContent;
    }
    return fresh;
  }

  /**
   * How a stop is rated, as its tally.
   * @param {string} stop
   */
  tally(stop) {
    const points = this.points(stop);
    return points.map((point) => TALLY[this.ratings[idOf(point)]?.rate ?? ""]).join("");
  }

  /**
   * @param {string} stop
   * @returns {[number, number]} rated, all
   */
  counts(stop) {
    const points = this.points(stop);
    return [points.filter((point) => this.isRated(idOf(point))).length, points.length];
  }
}

/** @param {HTMLElement} point */
export const idOf = (point) => /** @type {string} */ (point.dataset.checkpoint);

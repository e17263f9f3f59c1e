// @ts-check
/**
 * What the coach moves on the film, and what follows from it: instants, keypoints, bat, plate, what holds for the whole
 * film. What is moved is seen at once; the numbers follow when the server has read the clip with it.
 * @typedef {import("./film.js").Film} Film
 * @typedef {import("./corrections.js").Standing} Standing
 */
import { filmPanel } from "./film_panel.js";
import { batOf, isBatEnd } from "./holds.js";
import {
  batAt,
  batBack,
  filmIs,
  frameAs,
  frameBack,
  instantAt,
  keypointAt,
  keypointBack,
  placedOn,
  plateAt,
} from "./moves.js";
import { outOfOrder } from "./order.js";
import { byId, filled, hear } from "./page.js";
import { PlateBar } from "./plate_bar.js";
import { afterPress } from "./press.js";
import { pointsBar } from "./points_bar.js";

/**
 * @typedef {object} ByHandNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {import("./corrections.js").Correcting|null} correcting
 * @property {import("./undoing.js").Undoing} undoing
 * @property {import("./cards.js").Cards} cards
 * @property {import("./walk.js").Walk} walk
 * @property {import("./film.js").Film|null} film
 * @property {{take: (standing: import("./types.js").Standing) => boolean}} swingBar
 * @property {{readAnew: () => void}} reviewing
 * @property {(() => Promise<void>)|undefined} drawSheet
 */

export class ByHand {
  /** @param {ByHandNeeds} parts */
  constructor(parts) {
    this.parts = parts;
    this.data = parts.data;
    this.correcting = parts.correcting;
  }

  /** @param {Film} film */
  take(film) {
    const { correcting } = this;
    if (!correcting) return;
    const seen = () => {
      film.bodies.corrections = correcting.now;
      this.show();
      film.viewport.ask();
    };
    this.fillPanel = filmPanel(
      correcting,
      (film) => this.setFilm(film),
      () => this.data.film,
      this.data.editable,
      this.parts.messages,
    );
    this.plateBar = new PlateBar(film, this.parts.messages, this.data.plate_fits);
    this.showPoint = pointsBar(film, this.parts.messages);
    film.bodies.corrections = correcting.now;
    film.bodies.ground = this.data.film.ground;
    correcting.addEventListener("moved", seen);
    correcting.addEventListener("refused", seen);
    hear(correcting, "read", (standing) => this.takeReading(film, standing));
    hear(film.tools.points, "placed", (placed) => this.place(placed));
    hear(film.tools.plate, "placed", (placed) => this.setPlate(placed));
  }

  /**
   * A move that can be taken back by another.
   * @param {string} words
   * @param {import("./moves.js").Move} move
   * @param {import("./moves.js").Move} back
   * @param {import("./history.js").Place} [place]
   */
  make(words, move, back, place) {
    const { correcting, parts } = this;
    correcting?.make(move);
    parts.undoing.does(words, { kind: "move", before: back.told, after: move.told }, { place });
  }

  /**
   * What stands on one frame alone; other frames stay as they are, whatever another window does.
   * @param {string} words
   * @param {number} frame
   * @param {import("./moves.js").Move} move
   */
  onFrame(words, frame, move) {
    if (!this.correcting) return;
    const before = placedOn(this.correcting.now, frame);
    const after = placedOn(move(this.correcting.now), frame);
    this.make(words, frameAs(frame, after), frameAs(frame, before), { frame });
  }

  /** @param {import("./types.js").Point[]|null} corners */
  setPlate(corners) {
    this.make(this.parts.messages.did_plate, plateAt(corners), plateAt(this.correcting?.now.plate ?? null));
  }

  /**
   * View, hand and speed.
   * @param {Record<string, any>} film
   */
  setFilm(film) {
    const now = /** @type {Record<string, any>} */ (this.correcting?.now ?? {});
    const before = Object.fromEntries(Object.keys(film).map((name) => [name, now[name] ?? null]));
    this.make(this.parts.messages.did_film, filmIs(film), filmIs(before));
  }

  /** @type {(() => void)|undefined} */
  fillPanel = undefined;
  /** @type {PlateBar|undefined} */
  plateBar = undefined;
  /** @type {(() => void)|undefined} */
  showPoint = undefined;

  /**
   * @param {Film} film
   * @param {Standing} standing
   */
  takeReading(film, standing) {
    const { parts } = this;
    void this.freshCards(); // on their way while the film follows
    this.data.film = standing.result.film;
    film.bodies.ground = this.data.film.ground;
    film.takeSpeed(this.data.film);
    film.take(
      standing.result.swings.find((swing) => swing.index === this.data.swing_index) ?? null,
      standing.corrections,
    );
    film.bodies.corrections = this.correcting?.now ?? standing.corrections;
    this.fillPanel?.();
    this.plateBar?.say(standing.plate_fits);
    this.show();
    if (parts.swingBar.take(standing)) return; // another swing comes to the desk
    void parts.drawSheet?.();
  }

  /** How often the cards were asked for: of several answers the newest is put. */
  asked = 0;

  /** The cards with the readings as they are now. */
  async freshCards() {
    const asked = ++this.asked;
    const answer = await fetch(this.data.urls.cards, { credentials: "same-origin" }).catch(() => null);
    if (!answer?.ok) return;
    const html = await answer.text();
    afterPress(() => asked === this.asked && this.putCards(html));
  }

  /** @param {string} html */
  putCards(html) {
    const { parts } = this;
    const fresh = parts.cards.refresh(html);
    parts.reviewing.readAnew();
    const words = fresh.querySelector("[data-film-words]");
    const button = document.getElementById("film-open");
    if (words && button) button.textContent = words.textContent;
  }

  /** The buttons for the instant of this stop, and for what was moved on this frame. */
  show() {
    const { film } = this.parts;
    const button = document.getElementById("put-here");
    if (!(button instanceof HTMLButtonElement) || !film) return;
    const { stop } = this.parts.walk;
    const instant = film.swing?.instants[stop];
    const isHere = instant?.frame === film.frame;
    button.hidden = !instant || !this.data.editable;
    button.disabled = isHere && instant?.source !== "coach";
    const words = !isHere ? "put_here" : instant?.source === "coach" ? "take_back" : "is_here";
    button.textContent = filled(this.parts.messages[words], { name: this.data.names[stop] });
    byId("restore").hidden = !this.data.editable || !film.bodies.isMoved(film.frame);
    this.showPoint?.();
  }

  /** "Put this instant here", and back. */
  put() {
    const { film, walk } = this.parts;
    const instant = film?.swing?.instants[walk.stop];
    if (!film?.swing || !this.correcting || !instant || !this.data.editable || film.frame < 0) return;
    const frame = film.reel.wanted; // the one asked for, also while its picture is on its way
    const isBack = instant.frame === frame && instant.source === "coach";
    if (instant.frame === frame && !isBack) return;
    const [{ index }, { stop }] = [film.swing, walk];
    const before = this.correcting.now.instants?.[index]?.[stop] ?? null;
    const { instants } = film.swing;
    const [said, other] = isBack ? ["did_instant_back", ""] : outOfOrder(instants, this.data.stops, stop, frame);
    const { names } = this.data;
    const words = filled(this.parts.messages[said], { name: names[stop], other: names[other] ?? "" });
    const place = { stop, frame: instant.frame ?? frame };
    this.make(words, instantAt(index, stop, isBack ? null : frame), instantAt(index, stop, before), place);
  }

  /** @param {import("./holds.js").Held} held */
  place(held) {
    const { film } = this.parts;
    if (!film) return;
    const { frame } = film;
    const words = this.parts.messages[held.kind === "keypoint" ? "did_point" : "did_bat"];
    this.onFrame(
      words,
      frame,
      held.kind === "keypoint" ? keypointAt(frame, held.keypoint, held.at) : batAt(frame, ...batOf(held)),
    );
  }

  /** The chosen point goes back to where it was seen on the shown frame; a bat with both of its ends. */
  pointBack() {
    const { film } = this.parts;
    if (!film || !this.data.editable || !film.tools.points.isPlaced) return;
    const { frame, tools } = film;
    const { chosen } = tools.points;
    tools.letGo();
    this.onFrame(
      this.parts.messages.did_point_back,
      frame,
      isBatEnd(chosen) ? batBack(frame) : keypointBack(frame, Number(chosen)),
    );
  }

  /** What was moved on the shown frame goes back to what was seen. */
  restore() {
    const { film } = this.parts;
    if (!film || !this.data.editable || !film.bodies.isMoved(film.frame)) return;
    film.tools.letGo();
    this.onFrame(this.parts.messages.did_point_back, film.frame, frameBack(film.frame));
  }

  /** The plate's corners are taken back: those half marked, or those in use. */
  plateBack() {
    const { film } = this.parts;
    if (!film || !this.data.editable) return;
    film.tools.plate.forget();
    if (this.correcting?.now.plate) this.setPlate(null);
    this.plateBar?.say(null);
    film.viewport.ask();
  }
}

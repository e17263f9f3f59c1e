// @ts-check
/**
 * What the coach moves on the film, and what follows from it: instants, keypoints, bat, plate, what holds for the whole
 * film. What is moved is seen at once; the numbers follow when the server has read the clip with it.
 * @typedef {import("./film.js").Film} Film
 * @typedef {import("./corrections.js").Standing} Standing
 */
import { filmPanel } from "./film_panel.js";
import { batOf, isBatEnd } from "./holds.js";
import { batAt, batBack, frameBack, instantAt, keypointAt, keypointBack, plateAt } from "./moves.js";
import { byId, filled } from "./page.js";
import { PlateBar } from "./plate_bar.js";
import { pointsBar } from "./points_bar.js";
import { Steps } from "./steps.js";

export class ByHand {
  /** @param {import("./desk.js").Desk} desk */
  constructor(desk) {
    this.desk = desk;
    this.data = desk.data;
    this.correcting = desk.correcting;
    this.steps = desk.correcting && new Steps(desk.correcting);
  }

  /** @param {Film} film */
  take(film) {
    const { correcting } = this;
    if (!correcting) return;
    const seen = () => {
      film.bodies.corrections = correcting.now;
      this.show();
      film.stage.ask();
    };
    this.fillPanel = filmPanel(correcting, () => this.data.film, this.data.editable);
    this.plateBar = new PlateBar(film, this.desk.messages, this.data.plate_fits);
    this.showPoint = pointsBar(film, this.desk.messages);
    correcting.addEventListener("moved", seen);
    correcting.addEventListener("refused", seen);
    correcting.addEventListener("read", (event) => void this.takeReading(film, /** @type {CustomEvent} */ (event).detail));
    film.tools.points.addEventListener("placed", (event) => this.place(/** @type {CustomEvent} */ (event).detail));
    film.tools.plate.addEventListener("placed", (event) => correcting.make(plateAt(/** @type {CustomEvent} */ (event).detail)));
  }

  /** @type {(() => void)|undefined} */
  fillPanel = undefined;
  /** @type {PlateBar|undefined} */
  plateBar = undefined;
  /** @type {(() => void)|undefined} */
  showPoint = undefined;

  /** @param {Film} film @param {Standing} standing */
  async takeReading(film, standing) {
    const { desk } = this;
    this.data.film = standing.result.film;
    film.take(standing.result.swings.find((swing) => swing.index === this.data.swing_index) ?? null, standing.corrections);
    film.bodies.corrections = this.correcting?.now ?? standing.corrections;
    this.fillPanel?.();
    this.plateBar?.say(standing.plate_fits);
    this.show();
    if (desk.swingBar.take(standing)) return; // another swing comes to the desk
    void desk.drawSheet?.();
    const answer = await fetch(this.data.urls.cards, { credentials: "same-origin" }).catch(() => null);
    if (!answer?.ok) return;
    const fresh = desk.cards.refresh(await answer.text());
    desk.reviewing.readAnew();
    const words = fresh.querySelector("[data-film-words]");
    const button = document.getElementById("film-open");
    if (words && button) button.textContent = words.textContent;
  }

  /** The buttons for the instant of this stop, and for what was moved on this frame. */
  show() {
    const { film } = this.desk;
    const button = document.getElementById("put-here");
    if (!(button instanceof HTMLButtonElement) || !film) return;
    const { stop } = this.desk.walk;
    const instant = film.swing?.instants[stop];
    const isHere = instant?.frame === film.frame;
    button.hidden = !instant || !this.data.editable;
    button.disabled = isHere && instant?.source !== "coach";
    const words = !isHere ? "put_here" : instant?.source === "coach" ? "take_back" : "is_here";
    button.textContent = filled(this.desk.messages[words], { name: this.data.names[stop] });
    byId("restore").hidden = !this.data.editable || !film.bodies.isMoved(film.frame);
    this.showPoint?.();
  }

  /** "Put this instant here", and back. */
  put() {
    const { film, walk } = this.desk;
    const instant = film?.swing?.instants[walk.stop];
    if (!film?.swing || !this.correcting || !instant || !this.data.editable || film.frame < 0) return;
    const isBack = instant.frame === film.frame && instant.source === "coach";
    if (instant.frame === film.frame && !isBack) return;
    this.correcting.make(instantAt(film.swing.index, walk.stop, isBack ? null : film.frame));
  }

  /** @param {import("./holds.js").Held} held */
  place(held) {
    const { film } = this.desk;
    if (!film) return;
    const { frame } = film;
    this.steps?.make(frame, held.kind === "keypoint" ? keypointAt(frame, held.keypoint, held.at) : batAt(frame, ...batOf(held)));
  }

  /** The chosen point goes back to where it was seen on the shown frame; a bat with both of its ends. */
  pointBack() {
    const { film } = this.desk;
    if (!film || !this.data.editable || !film.tools.points.isPlaced) return;
    const { frame, tools } = film;
    const { chosen } = tools.points;
    tools.letGo();
    this.steps?.make(frame, isBatEnd(chosen) ? batBack(frame) : keypointBack(frame, Number(chosen)));
  }

  /** What was moved on the shown frame goes back to what was seen. */
  restore() {
    const { film } = this.desk;
    if (!film || !this.data.editable || !film.bodies.isMoved(film.frame)) return;
    film.tools.letGo();
    this.steps?.make(film.frame, frameBack(film.frame));
  }

  /** The plate's corners are taken back: those half marked, or those in use. */
  plateBack() {
    const { film } = this.desk;
    if (!film || !this.data.editable) return;
    film.tools.plate.forget();
    if (this.correcting?.now.plate) this.correcting.make(plateAt(null));
    this.plateBar?.say(null);
    film.stage.ask();
  }
}

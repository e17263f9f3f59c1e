// @ts-check
/** What buttons and keys do, by name. Acts on the film rest while there is none, and at the preview. */
import { idOf } from "./cards.js";
import { Compare } from "./compare.js";
import { ANGLES } from "./film.js";
import { byId } from "./page.js";
import { showWanted } from "./wanted.js";

const TONES = /** @type {const} */ (["seen", "wanted", "coach"]);

/**
 * @typedef {import("./desk.js").Desk} Desk
 * @typedef {import("./film.js").Film} Film
 */

/**
 * @param {Desk} desk
 * @returns {Record<string, (...given: any[]) => void>}
 */
export function acts(desk) {
  return { ...filmActs(desk), ...handActs(desk), ...walkActs(desk), ...pointActs(desk) };
}

/** @param {Desk} desk */
const onFilm =
  (desk) =>
  (/** @type {(film: Film, ...given: any[]) => unknown} */ act) =>
  (/** @type {any[]} */ ...given) => {
    if (desk.film && desk.walk.stop !== "preview") void act(desk.film, ...given);
  };

/** @type {Compare|undefined} */
let compared;

/**
 * Made when it is asked for first.
 * @param {Desk} desk
 */
function comparing({ data }) {
  const { names, urls, marks, messages } = data;
  compared ??= new Compare({ instants: data.stops.slice(0, -1), names, url: urls.compare, marks, messages });
  return compared;
}

/**
 * The checkpoint that has the coach's eye; "" for none.
 * @param {Desk} desk
 */
const cardOf = ({ cards }) => (cards.here ? idOf(cards.here) : "");

/** @param {Desk} desk */
function filmActs(desk) {
  const on = onFilm(desk);
  return {
    step: on((film, by) => film.step(by)),
    toFrame: on((film, end) => film.goTo(film.stretch()[end === "first" ? 0 : 1])),
    play: on((film) => film.play.toggle()),
    space: on((film) => film.space.press()),
    loop: on((film) => film.toggleLoop()),
    faster: on((film) => film.stepRate(1)),
    slower: on((film) => film.stepRate(-1)),
    closer: on((film) => film.stage.zoom(1.5, film.tools.middle())),
    farther: on((film) => film.stage.zoom(1 / 1.5)),
    whole: on((film) => film.stage.fit("whole")),
    hitter: on((film) => film.stage.fit("hitter")),
    skeleton: on((film) => film.toggleSkeleton()),
    tool: on((film, tool) => film.tools.choose(tool)),
    angle: on((film) =>
      film.tools.choose(/** @type {any} */ (ANGLES[(ANGLES.indexOf(film.tools.tool) + 1) % ANGLES.length])),
    ),
    wanted: on((film, checkpoint = cardOf(desk)) => checkpoint && showWanted(desk, film, checkpoint)),
    tone: on((film) => film.tools.setTone(TONES[(TONES.indexOf(film.tools.tone) + 1) % TONES.length], false)),
    delete: on((film) => film.tools.delete()),
    compare: on((film) => (film.play.stop(), film.swing && comparing(desk).open(desk.walk.stop))),
  };
}

/**
 * Corrections.
 * @param {Desk} desk
 */
function handActs(desk) {
  const on = onFilm(desk);
  return {
    put: on(() => desk.byHand.put()),
    restore: on(() => desk.byHand.restore()),
    pointBack: on(() => desk.byHand.pointBack()),
    plateBack: on(() => desk.byHand.plateBack()),
    notSwing: on(() => desk.swingBar.askRemove()),
    count: on((film) => film.swing && desk.counting.toggle(film.swing.index)),
    markSwing: on(() => desk.swingBar.mark()),
    stopMarking: on(() => desk.swingBar.stopMarking()),
  };
}

/** @param {Desk} desk */
function walkActs(desk) {
  return {
    stop: (/** @type {number} */ n) => desk.walk.go(desk.data.stops[n]),
    next: () =>
      desk.walk.stop === "preview" ? document.getElementById("publish-open")?.click() : desk.walk.go(desk.walk.next),
    help: () => desk.help(),
    undo: () => desk.undoing.step("undo"),
    redo: () => desk.undoing.step("redo"),
    writeUp: () => {
      if (desk.walk.stop === "preview") return desk.writeUp.focus();
      desk.showWriteUp(Boolean(byId("write-up").hidden));
      if (!byId("write-up").hidden) byId("write-up-title").focus({ preventScroll: true });
    },
  };
}

/**
 * The checkpoint that has the coach's eye; the one thing and its sentence are about the one just rated.
 * @param {Desk} desk
 */
function pointActs(desk) {
  const { cards, reviewing, data } = desk;
  const onPoint = (/** @type {(point: HTMLElement, id: string) => void} */ act, point = cards.here) => {
    if (point && data.editable && !byId("cards").hidden) act(point, idOf(point));
  };
  return {
    point: (/** @type {1|-1} */ by) => cards.step(by),
    rate: (/** @type {string} */ rate) =>
      onPoint((_point, id) => (cards.rate(id, rate, true), cards.isRated(id) && cards.stepOn())),
    thing: () => onPoint((_point, id) => reviewing.makeThing(id), cards.meant),
    say: () => onPoint((_point, id) => data.ratings[id]?.rate === "good" && reviewing.sayGood(id), cards.meant),
    drill: () => {
      if (!data.editable) return;
      const title = desk.plan.assignBest();
      desk.undoing.say(title ? "did_assign" : "no_sure_drill", title);
    },
    note: () => onPoint((point) => /** @type {HTMLElement|null} */ (point.querySelector("[data-words]"))?.focus()),
  };
}

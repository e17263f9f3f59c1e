// @ts-check
/** What buttons and keys do, by name. Acts on the film rest while there is none, and at the preview. */
import { idOf } from "./cards.js";
import { Compare } from "./compare.js";
import { ANGLES } from "./film.js";
import { byId, filled } from "./page.js";
import { showWanted } from "./wanted.js";

const TONES = /** @type {const} */ (["seen", "wanted", "coach"]);

/**
 * @typedef {import("./film.js").Film} Film
 * @typedef {object} ActsNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {Film|null} film
 * @property {import("./walk.js").Walk} walk
 * @property {import("./cards.js").Cards} cards
 * @property {import("./write_up.js").WriteUp} writeUp
 * @property {import("./plan.js").Plan} plan
 * @property {import("./undoing.js").Undoing} undoing
 * @property {import("./by_hand.js").ByHand} byHand
 * @property {import("./swing_bar.js").SwingBar} swingBar
 * @property {import("./counting.js").Counting} counting
 * @property {import("./reviewing.js").Reviewing} reviewing
 * @property {() => void} help
 * @property {(isShown: boolean) => void} showWriteUp
 */

/**
 * @param {ActsNeeds} parts
 * @returns {Record<string, (...given: any[]) => void>}
 */
export function acts(parts) {
  return { ...filmActs(parts), ...handActs(parts), ...walkActs(parts), ...pointActs(parts) };
}

/** @param {ActsNeeds} parts */
const onFilm =
  (parts) =>
  (/** @type {(film: Film, ...given: any[]) => unknown} */ act) =>
  (/** @type {any[]} */ ...given) => {
    if (parts.film && parts.walk.stop !== "preview") void act(parts.film, ...given);
  };

/** @type {Compare|undefined} */
let compared;

/**
 * Made when it is asked for first.
 * @param {ActsNeeds} parts
 * @param {import("./light.js").Light} light
 */
function comparing({ data }, light) {
  const { names, urls, marks, messages } = data;
  compared ??= new Compare({ instants: data.stops.slice(0, -1), names, url: urls.compare, marks, messages, light });
  return compared;
}

/**
 * The checkpoint whose wanted position a coach means: the one just rated, as for the one thing, but none that is
 * good; "" for none.
 * @param {ActsNeeds} parts
 */
function cardOf({ cards, data }) {
  const { said, here } = cards;
  const point = said && data.ratings[idOf(said)]?.rate !== "good" ? said : here;
  return point ? idOf(point) : "";
}

/**
 * Whether a point is about the one thing: words that follow its key are about it, and no longer about where the eye is.
 * @param {ActsNeeds} parts
 * @param {HTMLElement|null} point
 */
function isThing({ writeUp }, point) {
  return point !== null && idOf(point) === writeUp.draft.thing_checkpoint;
}

/**
 * @param {ActsNeeds} parts
 * @param {HTMLElement} point
 */
function note({ cards }, point) {
  if (point !== cards.here) cards.attend(point); // just rated, and folded in by now
  /** @type {HTMLElement|null} */ (point.querySelector("[data-words]"))?.focus();
}

/** @param {ActsNeeds} parts */
function filmActs(parts) {
  const on = onFilm(parts);
  return {
    step: on((film, by) => film.step(by)),
    toFrame: on((film, end) => film.goTo(film.stretch()[end === "first" ? 0 : 1])),
    play: on((film) => film.play.toggle()),
    space: on((film) => film.space.press()),
    loop: on((film) => film.toggleLoop()),
    sound: on((film) => film.toggleSound()),
    faster: on((film) => film.stepRate(1)),
    slower: on((film) => film.stepRate(-1)),
    closer: on((film) => film.viewport.zoom(1.5, film.tools.middle())),
    farther: on((film) => film.viewport.zoom(1 / 1.5)),
    whole: on((film) => film.viewport.fit("whole")),
    hitter: on((film) => film.viewport.fit("hitter")),
    skeleton: on((film) => film.toggleSkeleton()),
    lighter: on((film) => film.light.turn()),
    tool: on((film, tool) => film.tools.choose(tool)),
    angle: on((film) =>
      film.tools.choose(/** @type {any} */ (ANGLES[(ANGLES.indexOf(film.tools.tool) + 1) % ANGLES.length])),
    ),
    wanted: on((film, checkpoint = cardOf(parts)) => checkpoint && showWanted(parts, film, checkpoint)),
    tone: on((film) => film.tools.setTone(TONES[(TONES.indexOf(film.tools.tone) + 1) % TONES.length], false)),
    delete: on((film) => film.tools.delete()),
    compare: on((film) => (film.play.stop(), film.swing && comparing(parts, film.light).open(parts.walk.stop))),
  };
}

/**
 * Corrections.
 * @param {ActsNeeds} parts
 */
function handActs(parts) {
  const on = onFilm(parts);
  return {
    put: on(() => parts.byHand.put()),
    restore: on(() => parts.byHand.restore()),
    pointBack: on(() => parts.byHand.pointBack()),
    plateBack: on(() => parts.byHand.plateBack()),
    notSwing: on(() => parts.swingBar.askRemove()),
    count: on((film) => film.swing && parts.counting.toggle(film.swing.index)),
    markSwing: on(() => parts.swingBar.mark()),
    stopMarking: on(() => parts.swingBar.stopMarking()),
  };
}

/** @param {ActsNeeds} parts */
function walkActs(parts) {
  return {
    stop: (/** @type {number} */ n) => parts.walk.go(parts.data.stops[n]),
    next: () =>
      parts.walk.stop === "preview" ? document.getElementById("publish-open")?.click() : parts.walk.go(parts.walk.next),
    help: () => parts.help(),
    history: () => byId("player-history").click(),
    give: () => {
      const open = document.getElementById("give-open");
      if (open) open.click();
      else parts.undoing.tell(parts.messages.give_nobody);
    },
    undo: () => parts.undoing.step("undo"),
    redo: () => parts.undoing.step("redo"),
    writeUp: () => {
      if (parts.walk.stop === "preview") return parts.writeUp.focus();
      parts.showWriteUp(Boolean(byId("write-up").hidden));
      if (!byId("write-up").hidden) byId("write-up-title").focus({ preventScroll: true });
    },
  };
}

/**
 * The checkpoint that has the coach's eye; the one thing and its sentence are about the one just rated.
 * @param {ActsNeeds} parts
 */
function pointActs(parts) {
  const { cards, reviewing, data } = parts;
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
      const title = parts.plan.assignBest();
      const { did_assign: assigned, no_sure_drill: none } = parts.messages;
      parts.undoing.tell(title ? filled(assigned, { name: title }) : none);
    },
    note: () => onPoint((point) => note(parts, point), isThing(parts, cards.said) ? cards.meant : cards.here),
  };
}

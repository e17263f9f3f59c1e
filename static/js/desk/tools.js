// @ts-check
/**
 * The pointer: looking (pan, choose and move shapes) and drawing here, keypoints, bat and plate in modules
 * of their own.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {import("./types.js").Kind} Kind
 * @typedef {import("./types.js").Tone} Tone
 * @typedef {import("./viewport.js").Viewport} Viewport
 * @typedef {import("./marks.js").Marks} Marks
 * @typedef {import("./body.js").Bodies} Bodies
 */
import { Fingers } from "./fingers.js";
import { distance, toViewport } from "./geometry.js";
import { isOnGround, onGround, planeOf } from "./ground.js";
import { holdsOf, nearest } from "./holds.js";
import { Plate } from "./plate.js";
import { Points } from "./points.js";
import { begun, corner, drawnTo, finished, goneOn, hit, needsMore, shifted, withCorner } from "./shapes.js";

const REACH = 12; // viewport pixels around a pointer
const SNAP = 10;
const WHEEL = { step: 500, pinch: 200 }; // pixels of a wheel that make the film e times larger
const LINE = 16; // pixels of a line, for wheels that count those

/** @typedef {"look"|"points"|"plate"|Kind} Tool */

export class Tools extends EventTarget {
  /**
   * @param {Viewport} viewport
   * @param {Marks} marks
   * @param {Bodies} bodies
   * @param {{size: number, most: number}} letters  how high they are in the viewport, and how many fit in a line
   * @param {() => boolean} editable
   */
  constructor(viewport, marks, bodies, letters, editable) {
    super();
    this.viewport = viewport;
    this.marks = marks;
    this.bodies = bodies;
    this.letters = letters;
    this.editable = editable;
    /** @type {Tool} */
    this.tool = "look";
    /** @type {Tone} */
    this.tone = "seen";
    this.chosen = -1;
    /** @type {Shape|null} what is being drawn */
    this.growing = null;
    /** @type {{to: (at: Point, event: PointerEvent) => void, end: () => void}|null} */
    this.drag = null;
    this.points = new Points(viewport, bodies);
    this.plate = new Plate(viewport, bodies);
    this.fingers = new Fingers(viewport);
    /** Whether a press is to move the film, whatever the tool. @type {() => boolean} */
    this.isMoving = () => false;
    this.down = this.down.bind(this);
    this.move = this.move.bind(this);
    this.up = this.up.bind(this);
    this.cancel = this.cancel.bind(this);
    this.wheel = this.wheel.bind(this);
    this.double = this.double.bind(this);
  }

  enable() {
    const { canvas } = this.viewport;
    canvas.addEventListener("pointerdown", this.down);
    canvas.addEventListener("pointermove", this.move);
    canvas.addEventListener("pointerup", this.up);
    canvas.addEventListener("pointercancel", this.cancel);
    canvas.addEventListener("wheel", this.wheel, { passive: false });
    canvas.addEventListener("dblclick", this.double);
  }

  disable() {
    const { canvas } = this.viewport;
    canvas.removeEventListener("pointerdown", this.down);
    canvas.removeEventListener("pointermove", this.move);
    canvas.removeEventListener("pointerup", this.up);
    canvas.removeEventListener("pointercancel", this.cancel);
    canvas.removeEventListener("wheel", this.wheel);
    canvas.removeEventListener("dblclick", this.double);
  }

  get shapes() {
    return this.marks.at(this.viewport.frame).shapes;
  }

  /** @param {Tool} tool */
  choose(tool) {
    this.letGo();
    this.tool = this.editable() ? tool : "look";
    this.dispatchEvent(new Event("change"));
    this.viewport.ask();
  }

  /**
   * The tone of the next shape, and of one that was chosen to be changed.
   * @param {Tone} tone
   * @param {boolean} [withChosen]
   */
  setTone(tone, withChosen = this.tool === "look") {
    this.tone = tone;
    const shape = this.shapes[this.chosen];
    if (shape && withChosen && this.editable()) this.put(this.chosen, { ...shape, tone });
    this.dispatchEvent(new Event("change"));
  }

  /** Nothing chosen, nothing half drawn. */
  letGo() {
    this.chosen = -1;
    this.growing = this.caught = null;
    this.points.held = null;
    this.plate.held = null;
    this.changing = null;
    this.drag = null;
    this.viewport.ask();
  }

  /** @param {PointerEvent} event */
  cancel(event) {
    if (!this.fingers.lift(event)) this.letGo();
  }

  /** Delete the chosen shape, or the newest when none is. Gives back whether there was one. */
  delete() {
    if (!this.editable() || !this.shapes.length) return false;
    const which = this.chosen >= 0 ? this.chosen : this.shapes.length - 1;
    this.chosen = -1;
    this.marks.draw(
      this.viewport.frame,
      this.shapes.filter((_shape, i) => i !== which),
    );
    return true;
  }

  /**
   * @param {number} which
   * @param {Shape} shape
   */
  put(which, shape) {
    this.marks.draw(
      this.viewport.frame,
      this.shapes.map((old, i) => (i === which ? shape : old)),
    );
  }

  /** @param {Shape} shape */
  add(shape) {
    const kept = finished(shape, this.viewport.inClip(6));
    if (!kept) return;
    this.marks.draw(this.viewport.frame, [...this.shapes, kept]);
    this.chosen = this.shapes.length - 1;
  }

  /** @param {PointerEvent} event */
  down(event) {
    if (this.fingers.put(event)) return this.giveWay();
    const isMoving = event.button === 1 || (event.button === 0 && this.isMoving());
    if (event.button !== 0 && !isMoving) return;
    if (event.button === 1) event.preventDefault(); // no scrolling by itself
    this.viewport.box.focus({ preventScroll: true });
    try {
      this.viewport.canvas.setPointerCapture(event.pointerId);
    } catch {
      // a pointer that is gone already
    }
    const at = this.viewport.clipPoint(event);
    this.before = this.growing;
    if (isMoving) this.drag = this.shift(event);
    else if (this.tool === "look") this.look(at, event);
    else if (this.tool === "points" || this.tool === "plate")
      this.drag = (this.editable() && this[this.tool].from(at, this.viewport.inClip(REACH * 1.5))) || this.shift(event);
    else if (this.tool === "words")
      this.drag = {
        to: () => {},
        end: () => this.dispatchEvent(new CustomEvent("words", { detail: { at, which: this.under(at) } })),
      };
    else this.drawFrom(this.snapped(at, event), this.tool);
    this.viewport.ask();
  }

  /** @param {PointerEvent} event */
  move(event) {
    if (this.fingers.move(event) || !this.drag) return;
    this.drag.to(this.viewport.clipPoint(event), event);
    this.viewport.ask();
  }

  /** @param {PointerEvent} event */
  up(event) {
    if (this.fingers.lift(event)) return;
    const drag = this.drag;
    this.drag = null;
    drag?.end();
    this.viewport.ask();
  }

  /** A second finger came: what the first one began is not meant. */
  giveWay() {
    const { before, drag } = this;
    if (!drag) return;
    this.letGo();
    this.growing = before;
  }

  /** What was half drawn before the press. @type {Shape|null} */
  before = null;

  /**
   * Twice on the film: closer there, with Shift farther; not where the click draws.
   * @param {MouseEvent} event
   */
  double(event) {
    if (this.tool !== "look" || this.chosen >= 0 || this.isMoving()) return;
    this.viewport.zoom(event.shiftKey ? 1 / 2 : 2, this.viewport.viewportPoint(event));
  }

  /** The ground of the shown frame; null where no plate gives it. */
  get plane() {
    return planeOf(this.bodies.ground, this.bodies.camera(this.viewport.frame));
  }

  /** @param {Shape} shape */
  onGround = (shape) => onGround(shape, this.plane);

  /**
   * Which shape lies under a point, or -1.
   * @param {Point} at
   */
  under(at) {
    return hit(
      this.shapes,
      at,
      this.viewport.inClip(REACH),
      this.viewport.inClip(this.letters.size),
      this.letters.most,
    );
  }

  /**
   * The keypoint or bat's end beside the pointer, where the body is shown; with Alt, and free hand, the pointer itself.
   * @param {Point} at
   * @param {{altKey: boolean}} event
   * @returns {Point}
   */
  snapped(at, event) {
    this.caught = null;
    if (event.altKey || this.tool === "free" || !this.snaps()) return at;
    const near = nearest(holdsOf(this.bodies.at(this.viewport.frame)), at, this.viewport.inClip(SNAP));
    if (near) this.caught = near.at;
    return near ? near.at : at;
  }

  /** Whether marks snap to the body. @type {() => boolean} */
  snaps = () => false;

  /** What the drawing hand is snapped to. @type {Point|null} */
  caught = null;

  /**
   * Choose a shape and move it, or its corner; beside them, move the picture.
   * @param {Point} at
   * @param {PointerEvent} event
   */
  look(at, event) {
    const which = this.under(at);
    const old = this.shapes[which];
    const grabbed =
      this.shapes[this.chosen] && this.editable()
        ? corner(this.shapes[this.chosen], at, this.viewport.inClip(REACH))
        : -1;
    if (grabbed >= 0)
      return this.change(this.chosen, (to, moved) =>
        withCorner(this.shapes[this.chosen], grabbed, this.snapped(to, moved)),
      );
    this.chosen = which;
    if (old && this.editable()) return this.change(which, (to) => shifted(old, [to[0] - at[0], to[1] - at[1]]));
    this.drag = this.shift(event);
  }

  /**
   * Move the picture.
   * @param {PointerEvent} event
   * @returns {NonNullable<Tools["drag"]>}
   */
  shift(event) {
    let last = this.viewport.viewportPoint(event);
    return {
      to: (_at, moved) => {
        const now = this.viewport.viewportPoint(moved);
        this.viewport.pan([now[0] - last[0], now[1] - last[1]]);
        last = now;
      },
      end: () => {},
    };
  }

  /**
   * Drag a shape; one stroke of undo for the whole way.
   * @param {number} which
   * @param {(to: Point, event: PointerEvent) => Shape} made
   */
  change(which, made) {
    /** @type {Shape|null} */
    let now = null;
    this.drag = {
      to: (at, event) => {
        now = this.onGround(made(at, event));
        this.changing = { which, shape: now };
      },
      end: () => {
        this.changing = this.caught = null;
        if (now) this.put(which, now);
      },
    };
  }

  /** @type {{which: number, shape: Shape}|null} */
  changing = null;

  /**
   * @param {Point} at
   * @param {Kind} kind
   */
  drawFrom(at, kind) {
    if (isOnGround(kind) && !this.plane) return void this.dispatchEvent(new Event("noground"));
    const isSecond = this.growing && needsMore(this.growing);
    this.growing = isSecond ? goneOn(/** @type {Shape} */ (this.growing), at) : begun(kind, this.tone, at);
    this.chosen = -1;
    this.drag = {
      to: (now, event) =>
        (this.growing = this.onGround(drawnTo(/** @type {Shape} */ (this.growing), this.snapped(now, event)))),
      end: () => {
        const shape = /** @type {Shape} */ (this.growing);
        this.caught = null;
        if (needsMore(shape) && distance(shape.points[0], shape.points[1]) >= this.viewport.inClip(6)) return;
        this.growing = null;
        this.add(shape);
      },
    };
  }

  /**
   * Where to look closer: the chosen point, else the plate; pixels of the viewport.
   * @returns {Point|undefined}
   */
  middle() {
    const point = this.tool === "points" ? this.points.here?.at : undefined;
    return point ? toViewport(this.viewport.view, point) : this.tool === "plate" ? this.plate.middle() : undefined;
  }

  /**
   * The wheel and a pinch on a touch pad (which comes with Ctrl) zoom where the pointer is; sideways it moves the film.
   * @param {WheelEvent} event
   */
  wheel(event) {
    event.preventDefault();
    const size = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? 1 : LINE;
    if (!event.ctrlKey && (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY))) {
      return this.viewport.pan([-size * (event.deltaX || event.deltaY), 0]);
    }
    this.viewport.zoom(
      Math.exp((-size * event.deltaY) / (event.ctrlKey ? WHEEL.pinch : WHEEL.step)),
      this.viewport.viewportPoint(event),
    );
  }
}

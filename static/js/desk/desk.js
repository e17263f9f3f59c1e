// @ts-check
/**
 * The desk, put together: a walk with seven stops and a preview. Each part knows its own; what one part has to do when
 * another changes stands in reviewing.js (ratings and words) and by_hand.js (what the coach moves on the film).
 * @typedef {import("./types.js").DeskData} DeskData
 */
import { acts } from "./acts.js";
import { wireButtons } from "./buttons.js";
import { ByHand } from "./by_hand.js";
import { Cards } from "./cards.js";
import { Counting } from "./counting.js";
import { Doubts } from "./doubts.js";
import { Film } from "./film.js";
import { FirstDraft } from "./first_draft.js";
import { help } from "./help.js";
import { keyTable } from "./key_table.js";
import { Keys } from "./keys.js";
import { Leaving } from "./leaving.js";
import { askWhose, isBehind, left, ownWindow } from "./left.js";
import { tellUnsent } from "./light.js";
import * as moves from "./moves.js";
import { byId, hear } from "./page.js";
import { Phrases } from "./phrases.js";
import { picture } from "./picture.js";
import { Plan } from "./plan.js";
import { byPointer } from "./press.js";
import { Preview } from "./preview.js";
import { watchReading } from "./reread.js";
import { Reviewing } from "./reviewing.js";
import { contactSheet } from "./sheet.js";
import { notice, status } from "./status.js";
import { SwingBar } from "./swing_bar.js";
import { Undoing } from "./undoing.js";
import { Walk } from "./walk.js";
import { WriteUp } from "./write_up.js";

export class Desk {
  /**
   * @param {DeskData} data
   * @param {import("./windows.js").Own|null} own  this window, which keeps in the browser what is not sent
   */
  constructor(data, own) {
    this.data = data;
    this.messages = data.messages;
    const { saving, correcting } = left(data, own);
    this.saving = saving;
    this.correcting = correcting;
    this.walk = new Walk(data.stops, data.stop, data.urls.desk);
    this.cards = new Cards(data.ratings, data.draft.thing_checkpoint);
    this.writeUp = new WriteUp(data.draft, data.book, this.messages, data.editable);
    this.plan = new Plan(data.assignments, data.drills, data.set_up, this.messages, data.book, () => this.aim);
    this.doubts = new Doubts(this);
    this.preview = new Preview(data.urls.preview, this.saving, this.doubts, this.messages);
    this.undoing = new Undoing(this);
    this.phrases = new Phrases(this);
    this.firstDraft = new FirstDraft(this);
    this.reviewing = new Reviewing(this);
    this.byHand = new ByHand(this);
    this.swingBar = new SwingBar(this);
    this.counting = new Counting(this);
    this.leaving = new Leaving(this);
    /** @type {Film|null} */
    this.film = null;
    this.acts = acts(this);
    this.keys = new Keys(
      keyTable(this.messages, this.acts),
      () => document.getElementById("film")?.focus({ preventScroll: true }),
      byPointer,
    );
    this.help = help(this.keys);
  }

  enable() {
    this.walk.addEventListener("stop", () => this.arrive());
    this.phrases.enable();
    this.firstDraft.enable();
    this.reviewing.enable();
    this.undoing.enable();
    this.leaving.enable();
    this.doubts.enable();
    this.swingBar.enable();
    this.counting.enable();
    wireButtons(this);
    status(this.saving, this.correcting, this.messages);
    watchReading(this.saving, this.correcting, this.data);
    this.keys.enable();
    this.walk.showHere();
    addEventListener("online", () => this.leaving.sendWaiting());
    this.arrive();
    this.leaving.sendWaiting(); // what a window before this one could not send
  }

  /** What the drills are for: the one thing, and the side of its band on which it lies. */
  get aim() {
    const checkpoint = this.data.draft.thing_checkpoint;
    return { checkpoint, side: this.writeUp.side(this.cards.missed(checkpoint)) };
  }

  get isClean() {
    return this.saving.isClean && (this.correcting?.isClean ?? true);
  }

  /** @param {Film} film */
  takeFilm(film) {
    this.film = film;
    film.enable();
    const showPicture = picture(film.marks, () => film.frame, this.data.editable);
    film.addEventListener("frame", () => {
      showPicture();
      this.byHand.show();
      this.swingBar.show();
    });
    hear(film.marks, "change", (frame) => {
      this.saveMarks(frame);
      showPicture();
    });
    this.drawSheet = contactSheet(film, this.walk);
    this.byHand.take(film);
    this.undoing.takeFilm(film.marks);
    tellUnsent(film.light, this.writeUp, this.data.clip?.id ?? "");
    void this.toStop().then(() => this.drawSheet?.());
  }

  /** @type {(() => Promise<void>)|undefined} */
  drawSheet = undefined;

  arrive() {
    const { stop } = this.walk;
    const isPreview = stop === "preview";
    document.body.dataset.stop = stop;
    byId("preview").hidden = !isPreview;
    const area = document.querySelector(".film-area");
    if (area instanceof HTMLElement) area.hidden = isPreview;
    this.cards.show(stop);
    this.showWriteUp(isPreview);
    byId("next-stop").hidden = isPreview;
    byId("write-up-toggle").hidden = isPreview;
    byId("next-words").textContent = this.data.names[this.walk.next];
    const ending = document.getElementById("ending");
    if (ending) ending.hidden = !isPreview;
    if (isPreview) void this.preview.show();
    else void this.toStop();
    const swing = document.querySelector("#swing-form [name=stop]");
    if (swing instanceof HTMLInputElement) swing.value = stop;
    this.byHand.show();
  }

  async toStop() {
    if (!this.film || this.walk.stop === "preview") return;
    await this.film.goTo(this.film.frameOf(this.walk.stop) ?? this.film.nearFrame(this.walk.stop, this.data.stops));
  }

  /** @param {boolean} isShown */
  showWriteUp(isShown) {
    byId("write-up").hidden = !isShown;
    byId("cards").hidden = isShown;
    document.getElementById("counting")?.toggleAttribute("hidden", isShown);
    if (isShown) byId("write-up").parentElement?.scrollTo(0, 0);
    byId("write-up-toggle").setAttribute("aria-expanded", String(isShown));
    this.reviewing.show();
  }

  /** @type {Map<number, unknown>} the drawings as they were last put to be saved */
  drawn = new Map();

  /** @param {number} frame */
  saveMarks(frame) {
    const clip = this.data.clip?.id ?? "";
    const markup = { ...this.film?.marks.at(frame), instant: this.film?.instantAt(frame) ?? "" };
    const was = this.drawn.get(frame) ?? this.data.markups.find((one) => one.frame === frame);
    this.drawn.set(frame, markup);
    this.saving.put(`markup:${clip}:${frame}`, "markup", { clip, ...markup }, was);
  }
}

async function start() {
  /** @type {DeskData} */
  const data = JSON.parse(byId("desk-data").textContent ?? "{}");
  if (isBehind(data, sessionStorage)) return location.reload();
  const frames = data.clip && Film.frames(data.clip, data.first); // on their way while the rest begins
  frames?.catch(() => {}); // told below
  const desk = new Desk(data, await ownWindow(data));
  desk.enable();
  void askWhose(data);
  if (!data.clip || !frames) return;
  try {
    desk.takeFilm(new Film(data, data.clip, await frames));
    document.body.dataset.ready = "yes";
  } catch (error) {
    console.warn("No film.", error);
    notice(data.messages.film_fails);
  }
  Object.assign(window, { desk: Object.assign(desk, { moves }) }); // for tests, and for finding faults
}

void start();

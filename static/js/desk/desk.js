// @ts-check
/**
 * The desk, put together: a walk with seven stops and a preview. Each part knows its own; what one part has to do when
 * another changes stands here.
 * @typedef {import("./types.js").DeskData} DeskData
 */
import { Cards, idOf } from "./cards.js";
import { Correcting } from "./corrections.js";
import { Film } from "./film.js";
import { filmPanel } from "./film_panel.js";
import { help } from "./help.js";
import { keyTable } from "./key_table.js";
import { Keys } from "./keys.js";
import { putIn } from "./merge.js";
import { batAt, frameBack, instantAt, keypointAt } from "./moves.js";
import { all, byId, filled, later } from "./page.js";
import { Pending } from "./pending.js";
import { picture } from "./picture.js";
import { Plan } from "./plan.js";
import { Preview } from "./preview.js";
import { Saving } from "./saving.js";
import { contactSheet } from "./sheet.js";
import { notice, status } from "./status.js";
import { Walk } from "./walk.js";
import { WriteUp } from "./write_up.js";

const TONES = /** @type {const} */ (["seen", "wanted", "coach"]);

class Desk {
  /** @param {DeskData} data */
  constructor(data) {
    this.data = data;
    this.messages = data.messages;
    const token = () => Math.random().toString(36).slice(2) + Date.now().toString(36);
    const pending = new Pending(data.editable ? localStorage : null, `desk:${data.submission}`, token);
    const left = data.editable ? putIn(data, pending.leftOver()) : [];
    this.saving = new Saving(pending, data.urls, data.draft.version);
    for (const item of left) this.saving.put(item.name, item.kind, item.body, item.was);
    if (left.length) notice(filled(this.messages.left_over, { n: left.length }));
    this.correcting = data.clip ? new Correcting(data.clip.corrections, data.corrections, data.corrections_version) : null;
    this.walk = new Walk(data.stops, data.stop, data.urls.desk);
    this.cards = new Cards(data.ratings, data.draft.thing_checkpoint);
    this.writeUp = new WriteUp(data.draft, data.book, this.messages, data.editable);
    this.plan = new Plan(data.assignments, data.drills, data.set_up, this.messages, () => data.draft.thing_checkpoint);
    this.preview = new Preview(data.urls.preview, this.saving, this.messages);
    this.previewSoon = later(() => this.walk.stop === "preview" && this.preview.show(), 300);
    /** @type {Film|null} */
    this.film = null;
    this.keys = new Keys(keyTable(this.messages, this.acts()));
    this.help = help(this.keys);
  }

  enable() {
    this.wireWalk();
    this.wireCards();
    this.wireWriteUp();
    this.wireButtons();
    status(this.saving, this.correcting, this.messages);
    this.keys.enable();
    addEventListener("online", () => this.saving.go());
    addEventListener("beforeunload", (event) => {
      if (!this.isLeaving && !this.isClean) event.preventDefault();
    });
    this.arrive();
  }

  isLeaving = false;

  get isClean() {
    return this.saving.isClean && (this.correcting?.isClean ?? true);
  }

  /** @param {Film} film */
  takeFilm(film) {
    this.film = film;
    film.enable();
    const showPicture = picture(film.marks, () => film.frame, this.data.editable);
    film.addEventListener("frame", () => (showPicture(), this.showPut()));
    film.marks.addEventListener("change", (event) => {
      this.saveMarks(/** @type {CustomEvent} */ (event).detail);
      showPicture();
    });
    film.tools.addEventListener("placed", (event) => this.place(/** @type {CustomEvent} */ (event).detail));
    this.drawSheet = contactSheet(film, this.walk);
    this.wireCorrecting(film);
    void this.toStop().then(() => this.drawSheet?.());
  }

  /** @type {(() => Promise<void>)|undefined} */
  drawSheet = undefined;

  // ---------------------------------------------------------------- the walk

  wireWalk() {
    this.walk.addEventListener("stop", () => this.arrive());
  }

  arrive() {
    const { stop } = this.walk;
    const isPreview = stop === "preview";
    document.body.dataset.stop = stop;
    byId("letter").hidden = !isPreview;
    const stage = document.querySelector(".stage");
    if (stage instanceof HTMLElement) stage.hidden = isPreview;
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
    this.showPut();
  }

  async toStop() {
    if (!this.film || this.walk.stop === "preview") return;
    await this.film.goTo(this.film.frameOf(this.walk.stop) ?? this.film.nearFrame(this.walk.stop, this.data.stops));
  }

  /** @param {boolean} isShown */
  showWriteUp(isShown) {
    byId("write-up").hidden = !isShown;
    byId("cards").hidden = isShown;
    if (isShown) byId("write-up").parentElement?.scrollTo(0, 0);
    byId("write-up-toggle").setAttribute("aria-expanded", String(isShown));
    this.showState();
  }

  showState() {
    byId("write-up-state").textContent = this.writeUp.state();
    this.writeUp.suggest(this.data.ratings);
  }

  showPut() {
    const button = document.getElementById("put-here");
    if (!(button instanceof HTMLButtonElement) || !this.film) return;
    const { stop } = this.walk;
    const instant = this.film.swing?.instants[stop];
    const isHere = instant?.frame === this.film.frame;
    button.hidden = !instant || !this.data.editable;
    button.disabled = isHere && instant?.source !== "coach";
    const words = !isHere ? "put_here" : instant?.source === "coach" ? "take_back" : "is_here";
    button.textContent = filled(this.messages[words], { name: this.data.names[stop] });
  }

  // ----------------------------------------------------- ratings and write-up

  wireCards() {
    this.cards.addEventListener("rated", (event) => {
      const { id, was } = /** @type {CustomEvent} */ (event).detail;
      const rating = this.data.ratings[id] ?? { rate: "", words: "" };
      this.saving.put(`rating:${id}`, "rating", { checkpoint: id, ...rating }, was);
      this.tally(this.data.book[id].instant);
      this.showState();
    });
    this.cards.addEventListener("thing", (event) => this.makeThing(/** @type {CustomEvent} */ (event).detail));
    this.cards.addEventListener("say", (event) => this.sayGood(/** @type {CustomEvent} */ (event).detail));
  }

  /** @param {string} stop */
  tally(stop) {
    const link = document.querySelector(`.stop[data-stop="${stop}"]`);
    const [rated, of] = this.cards.counts(stop);
    const [marks, words] = [link?.querySelector("[data-tally]"), link?.querySelector("[data-tally-words]")];
    if (marks) marks.textContent = this.cards.tally(stop);
    if (words) words.textContent = filled(this.messages.rated_of, { rated, all: of });
  }

  /** @param {string} id */
  makeThing(id) {
    if (!this.data.editable) return;
    this.writeUp.choose(id);
    this.cards.setThing(id);
    if (this.data.ratings[id]?.rate !== "work_on") this.cards.rate(id, "work_on");
    this.plan.showLibrary();
    this.showState();
  }

  /** @param {string} id */
  sayGood(id) {
    if (!this.data.editable) return;
    this.writeUp.addSentence(this.data.book[id].good_words);
    this.showState();
  }

  wireWriteUp() {
    this.writeUp.addEventListener("changed", (event) => {
      const { name, value, was } = /** @type {CustomEvent} */ (event).detail;
      this.saving.put(`draft:${name}`, "draft", { [name]: value }, was);
      this.showState();
      this.previewSoon();
    });
    this.plan.addEventListener("changed", (event) => {
      const { was, ...body } = /** @type {CustomEvent} */ (event).detail;
      this.saving.put(`assignment:${body.drill}`, "assignment", body, was);
      this.previewSoon();
    });
  }

  // ---------------------------------------------------- drawing and correcting

  /** @param {number} frame */
  saveMarks(frame) {
    const clip = this.data.clip?.id ?? "";
    const markup = { ...this.film?.marks.at(frame), instant: this.instantAt(frame) };
    this.saving.put(`markup:${clip}:${frame}`, "markup", { clip, ...markup }, undefined);
  }

  /** Which instant a frame shows, for the words beside the picture. @param {number} frame */
  instantAt(frame) {
    const found = Object.entries(this.film?.swing?.instants ?? {}).find(([, instant]) => instant.frame === frame);
    return found ? found[0] : "";
  }

  /** @param {Film} film */
  wireCorrecting(film) {
    const { correcting } = this;
    if (!correcting) return;
    if (document.getElementById("film-panel")) filmPanel(correcting, this.data.film);
    correcting.addEventListener("moved", () => {
      film.bodies.corrections = correcting.now; // seen at once; the numbers follow
      film.stage.ask();
    });
    correcting.addEventListener("refused", () => {
      film.bodies.corrections = correcting.now;
      film.stage.ask();
    });
    correcting.addEventListener("read", (event) => void this.takeReading(film, /** @type {CustomEvent} */ (event).detail));
  }

  /** @param {Film} film @param {import("./corrections.js").Standing} standing */
  async takeReading(film, standing) {
    const swing = standing.result.swings[this.data.swing_index];
    if (!swing) return location.reload(); // the swing itself is gone: another choice of swings
    this.data.film = standing.result.film;
    film.take(swing, standing.corrections);
    film.bodies.corrections = this.correcting?.now ?? standing.corrections;
    this.showPut();
    void this.drawSheet?.();
    const answer = await fetch(this.data.urls.cards, { credentials: "same-origin" }).catch(() => null);
    if (answer?.ok) this.cards.refresh(await answer.text());
  }

  /** "Put this instant here", and back. */
  put() {
    const { film, correcting } = this;
    const instant = film?.swing?.instants[this.walk.stop];
    if (!film?.swing || !correcting || !instant || !this.data.editable || film.frame < 0) return;
    const isBack = instant.frame === film.frame && instant.source === "coach";
    if (instant.frame === film.frame && !isBack) return;
    correcting.make(instantAt(film.swing.index, this.walk.stop, isBack ? null : film.frame));
  }

  /** @param {import("./tools.js").Held} held */
  place(held) {
    const { film, correcting } = this;
    if (!film || !correcting) return;
    if (held.kind === "keypoint") return correcting.make(keypointAt(film.frame, held.keypoint, held.at));
    const bat = film.bodies.at(film.frame)?.bat;
    if (bat) correcting.make(held.end === 0 ? batAt(film.frame, held.at, bat[1]) : batAt(film.frame, bat[0], held.at));
  }

  // ------------------------------------------------------- buttons and keys

  wireButtons() {
    const acts = this.acts();
    byId("next-stop").addEventListener("click", () => acts.next());
    byId("write-up-toggle").addEventListener("click", () => acts.writeUp());
    const simple = { back: () => acts.step(-1), forward: () => acts.step(1), play: acts.play, undo: acts.undo, redo: acts.redo, delete: acts.delete, skeleton: acts.skeleton, put: acts.put, restore: acts.restore };
    for (const [name, act] of Object.entries(simple)) for (const button of all(`.stage [data-do=${name}]`)) button.addEventListener("click", () => act());
    for (const button of all("[data-tool]")) button.addEventListener("click", (event) => this.takeTool(button, event));
    for (const button of all("[data-tone]")) button.addEventListener("click", () => this.film?.tools.setTone(/** @type {any} */ (button.dataset.tone)));
    for (const button of all("dialog [data-close]")) button.addEventListener("click", () => button.closest("dialog")?.close());
    const swing = document.getElementById("swing-choice");
    swing?.addEventListener("change", () => void this.leaveWith(/** @type {HTMLFormElement} */ (byId("swing-form"))));
    this.wirePublish();
  }

  /** After a click the keys belong to the film again. @param {HTMLElement} button @param {MouseEvent} event */
  takeTool(button, event) {
    this.film?.tools.choose(/** @type {any} */ (button.dataset.tool));
    if (event.detail) this.film?.stage.box.focus({ preventScroll: true });
  }

  /** Send a form once everything is saved. @param {HTMLFormElement} form */
  async leaveWith(form) {
    if (!(await this.saving.settled())) return notice(this.messages.wait_saving);
    this.isLeaving = true;
    form.submit();
  }

  wirePublish() {
    const dialog = document.getElementById("publish-dialog");
    if (!(dialog instanceof HTMLDialogElement)) return;
    byId("publish-open").addEventListener("click", () => dialog.showModal());
    const form = /** @type {HTMLFormElement} */ (byId("publish-form"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.saving.settled().then((isSaved) => {
        dialog.close();
        if (!isSaved) return notice(this.messages.wait_saving);
        /** @type {HTMLInputElement} */ (form.elements.namedItem("version")).value = String(this.saving.version);
        this.isLeaving = true;
        form.submit();
      });
    });
  }

  /** What buttons and keys do, by name. @returns {Record<string, (...given: any[]) => void>} */
  acts() {
    const onFilm = (/** @type {(film: Film) => unknown} */ act) => () => void (this.film && this.walk.stop !== "preview" && act(this.film));
    const onPoint = (/** @type {(point: HTMLElement, id: string) => void} */ act) => {
      const point = this.cards.here;
      if (point && this.data.editable && !byId("cards").hidden) act(point, idOf(point));
    };
    return {
      step: (by) => onFilm((film) => film.step(by))(),
      toFrame: (end) => onFilm((film) => film.goTo(film.stretch()[end === "first" ? 0 : 1]))(),
      play: onFilm((film) => film.play.toggle()),
      zoom: (factor) => onFilm((film) => film.stage.zoom(factor))(),
      whole: onFilm((film) => film.stage.whole()),
      skeleton: onFilm((film) => film.toggleSkeleton()),
      put: () => this.put(),
      restore: onFilm((film) => this.correcting?.make(frameBack(film.frame))),
      stop: (n) => this.walk.go(this.data.stops[n]),
      next: () => this.walk.go(this.walk.next),
      point: (by) => this.cards.step(by),
      rate: (rate) => onPoint((_point, id) => (this.cards.rate(id, rate, true), this.data.ratings[id] && this.cards.stepOn())),
      thing: () => onPoint((_point, id) => this.makeThing(id)),
      say: () => onPoint((_point, id) => this.data.ratings[id]?.rate === "good" && this.sayGood(id)),
      note: () => onPoint((point) => /** @type {HTMLElement|null} */ (point.querySelector("[data-words]"))?.focus()),
      tool: (tool) => onFilm((film) => film.tools.choose(tool))(),
      tone: onFilm((film) => film.tools.setTone(TONES[(TONES.indexOf(film.tools.tone) + 1) % TONES.length])),
      undo: onFilm((film) => this.afterUndo(film, film.marks.undo())),
      redo: onFilm((film) => this.afterUndo(film, film.marks.redo())),
      delete: onFilm((film) => film.tools.delete()),
      writeUp: () => {
        if (this.walk.stop === "preview") return this.writeUp.focus();
        this.showWriteUp(Boolean(byId("write-up").hidden));
        if (!byId("write-up").hidden) byId("write-up-title").focus({ preventScroll: true });
      },
      help: () => this.help(),
    };
  }

  /** Undo goes to the frame that it touched. @param {Film} film @param {number|null} frame */
  afterUndo(film, frame) {
    film.tools.letGo();
    if (frame !== null && frame !== film.frame) void film.goTo(frame);
  }
}

async function start() {
  /** @type {DeskData} */
  const data = JSON.parse(byId("desk-data").textContent ?? "{}");
  const desk = new Desk(data);
  desk.enable();
  if (!data.clip) return;
  try {
    desk.takeFilm(await Film.open(data, data.clip));
    document.body.dataset.ready = "yes";
  } catch (error) {
    console.warn("No film.", error);
    notice(data.messages.film_fails);
  }
  Object.assign(window, { desk }); // for tests, and for finding faults
}

void start();

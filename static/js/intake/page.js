// @ts-check
/** The page on which a family chooses and sends a clip: picks the file, shows how far it is, and what went wrong. */

import { makeAwake } from "./awake.js";
import { HEAD, kindOf } from "./film_kind.js";
import { send } from "./line.js";
import { noted, secondsLeft } from "./pace.js";

const MB = 1024 * 1024;

/**
 * @param {string} name
 * @returns {HTMLElement} the element marked data-send-<name>
 */
function part(name) {
  const found = document.querySelector(`[data-send-${name}]`);
  if (!(found instanceof HTMLElement)) throw new Error(`The page has no data-send-${name}.`);
  return found;
}

/** @param {HTMLFormElement} form */
export function enable(form) {
  const input = /** @type {HTMLInputElement} */ (form.querySelector("input[type=file]"));
  const token = /** @type {HTMLInputElement} */ (form.querySelector("[name=csrfmiddlewaretoken]")).value;
  const [start, again, stop] = [part("start"), part("again"), part("stop")];
  const bar = /** @type {HTMLProgressElement} */ (part("bar"));
  const awake = makeAwake();
  /** @type {{stop: () => void} | null} */
  let line = null;
  /** @type {File | null} */
  let file = null;

  /** @param {"choose" | "going" | "broken"} stage */
  function show(stage) {
    document.querySelectorAll("[data-send-part]").forEach((element) => {
      const mine = element.getAttribute("data-send-part");
      /** @type {HTMLElement} */ (element).hidden = mine === "choose" ? stage !== "choose" : stage === "choose";
    });
    start.hidden = stage !== "choose";
    again.hidden = part("broken").hidden = stage !== "broken";
    stop.hidden = stage === "choose";
    part("going").hidden = stage !== "going";
    part("checking").hidden = true;
  }

  /** @param {string} words */
  function refuse(words) {
    show("choose");
    input.value = "";
    const note = part("refused");
    /** @type {HTMLElement} */ (note.lastElementChild).textContent = words || form.dataset.wordsUnclear || "";
    note.hidden = false;
    note.scrollIntoView({ block: "center" });
  }

  /** @param {File} chosen */
  async function refusal(chosen) {
    if (chosen.size === 0) return form.dataset.wordsEmpty;
    if (chosen.size > Number(form.dataset.mostBytes)) return form.dataset.wordsLarge;
    const kind = kindOf(new Uint8Array(await chosen.slice(0, HEAD).arrayBuffer()));
    return { film: undefined, photo: form.dataset.wordsPhoto, other: form.dataset.wordsOther }[kind];
  }

  async function go() {
    if (!file || line) return;
    const sending = file;
    show("going");
    window.scrollTo(0, 0);
    awake.enable();
    /** @type {import("./pace.js").Mark[]} */
    let marks = [];
    showSent(bar, 0, sending.size, marks);
    const run = send(form.action, sending, token, (sent) => {
      marks = noted(marks, { at: performance.now(), sent });
      showSent(bar, Math.min(sent, sending.size), sending.size, marks);
    });
    line = run;
    const outcome = await run.outcome;
    line = null;
    awake.disable();
    if (outcome.kind === "kept") location.assign(outcome.page);
    else if (outcome.kind === "refused") refuse(outcome.words);
    else if (outcome.kind === "broken") show("broken");
    else show("choose");
  }

  async function choose() {
    const chosen = input.files?.[0];
    if (!chosen) return;
    part("refused").hidden = true;
    const words = await refusal(chosen);
    if (words !== undefined) return refuse(words);
    file = chosen;
    part("file").textContent = `${chosen.name}, ${sizeWords(chosen.size)}`;
    await go();
  }

  part("field").classList.add("unseen");
  part("field").inert = true;
  start.textContent = form.dataset.wordsChoose || start.textContent;
  start.addEventListener("click", (event) => {
    event.preventDefault();
    input.click();
  });
  input.addEventListener("change", choose);
  again.addEventListener("click", go);
  stop.addEventListener("click", () => {
    line?.stop();
    file = null;
    input.value = "";
    show("choose");
  });
  window.addEventListener("beforeunload", (event) => line && event.preventDefault());
}

/** @param {number} bytes */
const sizeWords = (bytes) => (bytes < MB / 10 ? `${Math.ceil(bytes / 1024)} kB` : `${(bytes / MB).toFixed(bytes < 10 * MB ? 1 : 0)} MB`);

/**
 * @param {HTMLProgressElement} bar
 * @param {number} sent
 * @param {number} total
 * @param {import("./pace.js").Mark[]} marks
 */
function showSent(bar, sent, total, marks) {
  const percent = total ? Math.floor((100 * sent) / total) : 0;
  bar.value = percent;
  part("percent").textContent = `${percent}\u202f%`;
  part("left").textContent = leftWords(part("left").dataset, secondsLeft(marks, total));
  part("going").hidden = sent >= total;
  part("checking").hidden = sent < total;
}

/**
 * @param {DOMStringMap} words
 * @param {number | null} seconds
 */
function leftWords(words, seconds) {
  if (seconds === null || seconds <= 0) return "";
  const text = seconds < 90 ? words.wordsSeconds : words.wordsMinutes;
  return (text || "").replace("{n}", String(seconds < 90 ? seconds : Math.round(seconds / 60)));
}

const form = document.getElementById("send");
if (form instanceof HTMLFormElement) enable(form);

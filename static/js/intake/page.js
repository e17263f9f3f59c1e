// @ts-check
/**
 * The page on which a family chooses and sends a clip: picks the file, sends it or goes on with it, says what went
 * wrong.
 */

import { makeAwake } from "./awake.js";
import { listed, sameFile } from "./begun.js";
import { HEAD, kindOf } from "./film_kind.js";
import { canTravel, travel } from "./journey.js";
import { markOf } from "./mark.js";
import { withSample } from "./upload_rate.js";
import { part, say, show, showSent, sizeWords } from "./panel.js";

/** @param {HTMLFormElement} form */
export function enable(form) {
  const input = /** @type {HTMLInputElement} */ (form.querySelector("input[type=file]"));
  const token = /** @type {HTMLInputElement} */ (form.querySelector("[name=csrfmiddlewaretoken]")).value;
  const begun = listed(form.dataset.begun);
  const awake = makeAwake();
  /** @type {ReturnType<typeof travel> | null} */
  let journey = null;

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

  /** @param {File} file */
  async function go(file) {
    const mark = await markOf(file);
    const former = sameFile(begun, file.size, mark);
    show("going");
    window.scrollTo(0, 0);
    part("file").textContent = `${file.name}, ${sizeWords(file.size)}`;
    part("other").hidden = former !== null || begun.length === 0;
    awake.enable();
    /** @type {import("./upload_rate.js").Sample[]} */
    let samples = [];
    showSent(former ? (former.percent / 100) * file.size : 0, file.size, samples);
    say("going");
    journey = travel(file, {
      endpoint: form.dataset.uploads || "",
      url: former?.url ?? null,
      token,
      mark,
      onSent(sent) {
        samples = withSample(samples, { at: performance.now(), sent });
        showSent(sent, file.size, samples);
        say(sent < file.size ? "going" : "checking");
      },
      onWait(waits) {
        samples = [];
        say(waits ? "waiting" : "going");
      },
    });
    const outcome = await journey.outcome;
    journey = null;
    awake.disable();
    if (outcome.kind === "kept") location.assign(outcome.page);
    else if (outcome.kind === "refused") refuse(outcome.words);
    else show("choose");
  }

  async function choose() {
    const chosen = input.files?.[0];
    if (!chosen || journey) return;
    part("refused").hidden = true;
    const words = await refusal(chosen);
    if (words !== undefined) refuse(words);
    else await go(chosen);
  }

  part("field").classList.add("unseen");
  part("field").inert = true;
  part("begun").hidden = begun.length === 0;
  part("start").textContent = (begun.length ? form.dataset.wordsSame : form.dataset.wordsChoose) || "";
  part("start").addEventListener("click", (event) => {
    event.preventDefault();
    input.click();
  });
  input.addEventListener("change", choose);
  part("again").addEventListener("click", () => journey?.hurry());
  part("stop").addEventListener("click", () => {
    journey?.stop();
    input.value = "";
  });
  window.addEventListener("beforeunload", (event) => journey && event.preventDefault());
}

const form = document.getElementById("send");
if (form instanceof HTMLFormElement && canTravel()) enable(form);

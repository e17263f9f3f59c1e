// @ts-check
/**
 * Who is hitting: what is typed and chosen is there again after a reload. It is about a child, so it is kept in this
 * tab alone and goes as the form is sent; also as all kept words do (kept_words.js): on signing out, with another
 * account. What is agreed to is never ticked beforehand, so no tick is kept.
 * @typedef {HTMLInputElement|HTMLSelectElement} Field
 */
import { PREFIX, account, held, noted, tried } from "../kept_words.js";

const form = /** @type {HTMLFormElement} */ (document.getElementById("who"));
const key = `${PREFIX}${account}:${location.pathname}`;
const store = tried(() => sessionStorage);

const KEPT = "select, input[type=text], input[type=radio]";
const fields = () => /** @type {Field[]} */ ([...form.elements].filter((one) => one.matches(KEPT)));

const forget = () => tried(() => store?.removeItem(key));

/** @param {Field} field */
const isRadio = (field) => field instanceof HTMLInputElement && field.type === "radio";

function keep() {
  const data = new FormData(form);
  const values = Object.fromEntries(fields().map(({ name }) => [name, data.get(name)]));
  tried(() => store?.setItem(key, JSON.stringify({ values, at: Date.now() })));
}

/** @param {Record<string, string|null>} values */
function putBack(values) {
  for (const field of fields()) {
    const value = values[field.name];
    if (typeof value !== "string") continue;
    if (isRadio(field)) /** @type {HTMLInputElement} */ (field).checked = field.value === value;
    else field.value = value;
  }
  form.closest("details")?.setAttribute("open", "");
  const { wordsAgain = "", wordsOver = "" } = form.dataset;
  form.prepend(noted(wordsAgain, wordsOver, startOver));
}

function startOver() {
  form.reset();
  forget();
  fields()[0]?.focus();
}

const kept = store && held(key, store);
if (kept?.values) putBack(kept.values);
form.addEventListener("input", keep);
form.addEventListener("submit", forget);

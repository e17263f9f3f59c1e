// @ts-check
/**
 * What is typed in a form marked `data-keep` stays in the browser until the site has taken it: neither a page that is
 * loaded again nor a session that ended in the middle of a sentence loses it. It is kept for one account, by the form's
 * address and the field's name, and goes when it is sent (a message marked `data-taken` says so), on signing out, when
 * another account signs in, and after a week. What the desk keeps lies under keys of its own (unsent.js).
 * @typedef {HTMLTextAreaElement|HTMLInputElement} Field
 */
import { forgetOld } from "./unsent.js";

export const PREFIX = "kept-words:";
const UNDER_WAY = "kept-words-sent"; // in the session's store: what this window sent and has no word of yet
const KEPT_MS = 7 * 24 * 3600 * 1000;
export const account = document.body.dataset.account ?? "";

/** @param {HTMLFormElement} form */
const fieldsOf = (form) =>
  /** @type {Field[]} */ ([...form.elements].filter((one) => one.matches("textarea, input[type=text]")));

/**
 * @param {HTMLFormElement} form
 * @param {Field} field
 */
function keyOf(form, field) {
  const address = new URL(form.getAttribute("action") ?? "", location.href).pathname;
  return `${PREFIX}${account}:${address}:${field.name}`;
}

/**
 * A store that is full or forbidden keeps nothing, and stops nobody from writing.
 * @template T
 * @param {() => T} act
 * @returns {T|undefined}
 */
export function tried(act) {
  try {
    return act();
  } catch {
    return undefined;
  }
}

/**
 * @param {string} key
 * @param {Storage} [store]
 */
export const held = (key, store) => tried(() => JSON.parse((store ?? localStorage).getItem(key) ?? "null"));

/** @param {string} key */
const forget = (key) => tried(() => localStorage.removeItem(key));

/**
 * In both stores: the desk's steps stand in the session's (desk/kept_steps.js).
 * @param {(key: string, store: Storage) => boolean} which
 */
function forgetAll(which) {
  tried(() => {
    for (const store of [localStorage, sessionStorage])
      for (const key of Object.keys(store)) if (key.startsWith(PREFIX) && which(key, store)) store.removeItem(key);
  });
}

/**
 * @param {string} key
 * @param {Storage} store
 */
function isOver(key, store) {
  const isOthers = account !== "" && !key.startsWith(`${PREFIX}${account}:`);
  return isOthers || !(Date.now() - held(key, store)?.at < KEPT_MS);
}

/** All of it, whoever typed it. */
export const forgetWords = () => forgetAll(() => true);

/** What this window sent is the site's now, if its answer says so; else it goes on being kept. */
function settle() {
  const sent = tried(() => JSON.parse(sessionStorage.getItem(UNDER_WAY) ?? "[]")) ?? [];
  tried(() => sessionStorage.removeItem(UNDER_WAY));
  if (document.querySelector("[data-taken]")) sent.forEach(forget);
}

/**
 * @param {HTMLFormElement} form
 * @param {Field} field
 */
function keep(form, field) {
  const key = keyOf(form, field);
  if (field.value.trim())
    tried(() => localStorage.setItem(key, JSON.stringify({ words: field.value, at: Date.now() })));
  else forget(key);
}

/**
 * @param {HTMLFormElement} form
 * @param {Field} field
 */
function putBack(form, field) {
  const words = held(keyOf(form, field))?.words;
  if (typeof words !== "string" || words === field.defaultValue) return;
  field.value = words;
  field.closest("details")?.setAttribute("open", "");
  say(form, field);
}

/**
 * That words are here again, with the way to be rid of them.
 * @param {string} again
 * @param {string} over
 * @param {() => void} startOver
 */
export function noted(again, over, startOver) {
  const note = document.createElement("p");
  const button = document.createElement("button");
  note.className = "kept-words small";
  button.type = "button";
  button.className = "quiet";
  button.textContent = over;
  button.addEventListener("click", () => {
    note.remove();
    startOver();
  });
  note.append(again, " ", button);
  return note;
}

/**
 * @param {HTMLFormElement} form
 * @param {Field} field
 */
function say(form, field) {
  const note = noted(form.dataset.keep ?? "", form.dataset.keepOver ?? "", () => {
    field.value = field.defaultValue;
    forget(keyOf(form, field));
    field.focus();
  });
  note.id = `${field.id}_kept`;
  field.after(note);
  field.setAttribute("aria-describedby", `${field.getAttribute("aria-describedby") ?? ""} ${note.id}`.trim());
}

/**
 * The form whose words are kept, if the event is about one.
 * @param {Event} event
 */
function formOf({ target }) {
  const form = target instanceof HTMLFormElement ? target : /** @type {Field} */ (target).form;
  return form?.matches("[data-keep]") ? form : null;
}

forgetAll(isOver);
tried(() => forgetOld(localStorage, account));
settle();
document.querySelectorAll("form[data-keep]").forEach((one) => {
  const form = /** @type {HTMLFormElement} */ (one);
  fieldsOf(form).forEach((field) => putBack(form, field));
});

document.addEventListener("input", (event) => {
  const form = formOf(event);
  const field = form && fieldsOf(form).find((one) => one === event.target);
  if (form && field) keep(form, field);
});

document.addEventListener("submit", (event) => {
  const form = formOf(event);
  const keys = form ? fieldsOf(form).map((field) => keyOf(form, field)) : [];
  if (form) tried(() => sessionStorage.setItem(UNDER_WAY, JSON.stringify(keys)));
  if (/** @type {Element} */ (event.target).matches("[data-forget]")) forgetWords();
});

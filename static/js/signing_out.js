// @ts-check
/**
 * Signing out: the page says what the desk could not send from this browser, for it goes; and erases it itself, because
 * a site without TLS cannot ask a browser to (`Clear-Site-Data`). Where another coach's unsent work lies beside it, the
 * site is told to leave the browser's store alone (`others`): then what is erased here is all that goes.
 */
import { filled, made } from "./desk/page.js";
import { forgetUnsent, keepOthers, unsentOf } from "./unsent.js";

const account = document.body.dataset.account ?? "";

/** @param {HTMLElement} note */
function tell(note) {
  const { count, submissions } = unsentOf(localStorage, account);
  note.hidden = count === 0;
  const [one, many] = [note.dataset.one ?? "", note.dataset.many ?? ""];
  const links = submissions.map((submission) => {
    const href = (note.dataset.desk ?? "").replace("00000000-0000-0000-0000-000000000000", submission);
    return made("a", { href, text: note.dataset.open ?? "" });
  });
  const words = made("span", { text: count === 1 ? one : filled(many, { n: count }) });
  note.querySelector(".row")?.replaceChildren(words, ...links);
}

/** @param {HTMLFormElement} form */
function erase(form) {
  forgetUnsent(localStorage, account);
  keepOthers(form, localStorage, account);
}

const note = document.getElementById("unsent");
if (note) tell(note);
document.addEventListener("submit", ({ target }) => {
  if (target instanceof HTMLFormElement && target.matches("[data-forget]")) erase(target);
});

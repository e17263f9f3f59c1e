// @ts-check
/**
 * Having one's own sign-in erased: nothing that the account typed and did not send stays in this browser, at the desk
 * or in a form. Only once it is erased, for the site may refuse (the only owner); and by the page itself, because a
 * site without TLS cannot ask a browser to. Another coach's unsent work is left there, as on signing out
 * (../signing_out.js).
 */
import { forgetWords } from "../kept_words.js";
import { forgetUnsent, keepOthers } from "../unsent.js";

const ERASING = "erasing"; // in the session's store: whose erasing this window asked for
const account = document.body.dataset.account ?? "";

/** @param {HTMLFormElement} form */
function ask(form) {
  sessionStorage.setItem(ERASING, account);
  keepOthers(form, localStorage, account);
}

function forget() {
  const erased = sessionStorage.getItem(ERASING);
  sessionStorage.removeItem(ERASING);
  if (!erased) return; // somebody who only opened the page
  forgetUnsent(localStorage, erased);
  forgetWords();
}

if (document.querySelector("[data-erased]")) forget();
document.addEventListener("submit", ({ target }) => {
  if (target instanceof HTMLFormElement && target.matches("[data-erasing]")) ask(target);
});

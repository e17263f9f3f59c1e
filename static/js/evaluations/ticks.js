// @ts-check
/**
 * Ticks of the practice plan in place: the page stays where it is. Without this module each tick is a form of its own;
 * so it is where the answer is not a tick's (signed out, a day that is over): then the form goes the plain way, and the
 * site says why.
 */

/**
 * @param {HTMLFormElement} form
 * @param {HTMLElement} box  all the days of its drill
 */
async function tick(form, box) {
  const day = String(new FormData(form).get("day"));
  box.setAttribute("aria-busy", "true"); // a second press before the answer would take it back again
  try {
    const answer = await fetch(form.action, {
      method: "POST",
      body: new FormData(form),
      headers: { "X-Part": "ticks" },
    });
    if (!answer.ok || answer.redirected) return form.submit();
    show(box, await answer.text(), day);
  } catch {
    said(box).textContent = box.dataset.ticksFail ?? ""; // the line is down
  } finally {
    box.removeAttribute("aria-busy");
  }
}

/**
 * @param {HTMLElement} box
 * @param {string} html
 * @param {string} day  the button that was pressed keeps the focus
 */
function show(box, html, day) {
  const fresh = new DOMParser().parseFromString(html, "text/html");
  const [days, now] = [box.querySelector(".days"), fresh.querySelector(".days")];
  if (!days || !now) return;
  days.replaceWith(now);
  said(box).textContent = said(fresh).textContent; // the same line, so that it is read out
  /** @type {HTMLElement|null|undefined} */ (
    box.querySelector(`[value="${day}"]`)?.parentElement?.querySelector("button")
  )?.focus({ preventScroll: true });
}

/** @param {ParentNode} box */
const said = (box) => /** @type {HTMLElement} */ (box.querySelector("[data-ticked]"));

document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  const box = /** @type {HTMLElement|null} */ (form.closest("[data-ticks]"));
  if (!box) return;
  event.preventDefault();
  if (!box.hasAttribute("aria-busy")) void tick(form, box);
});

// @ts-check
/**
 * Lists in a line that is wider than the phone: the chosen one is in view at the beginning, and so is each that the
 * keyboard comes to. Browsers that know `scroll-initial-target` (static/css/components.css) do the first by themselves;
 * none scrolls for a link of which it shows a part.
 */

/**
 * @param {Element} row
 * @param {Element} link
 */
function toTheMiddle(row, link) {
  const [line, one] = [row, link].map((box) => box.getBoundingClientRect());
  row.scrollBy({ left: one.left + one.width / 2 - line.left - line.width / 2, behavior: "instant" });
}

/** @param {Element} row */
function enable(row) {
  const chosen = row.querySelector("[aria-current]");
  if (chosen && !CSS.supports("scroll-initial-target", "nearest")) toTheMiddle(row, chosen);
  row.addEventListener("focusin", ({ target }) => {
    // not for a finger: the link would go from under it
    if (target instanceof Element && target.matches(":focus-visible")) toTheMiddle(row, target);
  });
}

document.querySelectorAll("nav > .filter").forEach(enable);

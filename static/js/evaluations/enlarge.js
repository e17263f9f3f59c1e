// @ts-check
/**
 * A picture of the evaluation, larger: a tap opens it over the page at twice its width, with the tapped place in the
 * middle.
 */

const TIMES = 2;
const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("enlarged"));
const room = /** @type {HTMLElement} */ (dialog.querySelector(".room"));

for (const link of document.querySelectorAll("a.enlarge"))
  link.addEventListener("click", (event) =>
    open(/** @type {MouseEvent} */ (event), /** @type {HTMLAnchorElement} */ (link)),
  );
room.addEventListener("click", () => dialog.close());
dialog.querySelector("button")?.addEventListener("click", () => dialog.close());

/**
 * @param {MouseEvent} event
 * @param {HTMLAnchorElement} link
 */
function open(event, link) {
  const picture = link.querySelector("img");
  if (!picture || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  const { left, top, width, height } = picture.getBoundingClientRect();
  // by the keyboard: the middle
  const at = event.detail ? [(event.clientX - left) / width, (event.clientY - top) / height] : [0.5, 0.5];
  const large = /** @type {HTMLImageElement} */ (picture.cloneNode());
  large.width = Math.max(TIMES * width, Math.min(picture.naturalWidth, 2 * TIMES * width));
  large.height = (large.width * height) / width;
  room.replaceChildren(large);
  dialog.showModal();
  room.scrollTo(at[0] * large.width - room.clientWidth / 2, at[1] * large.height - room.clientHeight / 2);
}

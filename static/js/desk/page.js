// @ts-check
/** Small helps for the page: finding elements, filling sentences, building elements without strings of HTML. */

/**
 * An element that the template promises.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`The page has no #${id}.`);
  return element;
}

/** @param {string} id */
export const field = (id) => /** @type {HTMLInputElement} */ (byId(id));

/**
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {HTMLElement[]}
 */
export const all = (selector, within = document) =>
  [...within.querySelectorAll(selector)].map((one) => /** @type {HTMLElement} */ (one));

/**
 * A sentence with its {places} filled.
 * @param {string} sentence
 * @param {Record<string, string|number>} [places]
 */
export const filled = (sentence, places = {}) =>
  sentence.replace(/\{(\w+)\}/g, (whole, name) => String(places[name] ?? whole));

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string|number|boolean>} attributes  `text` is the element's words
 * @param {(Node|string)[]} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function made(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "text") element.textContent = String(value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false) element.setAttribute(name, String(value));
  }
  element.append(...children);
  return element;
}

const DIRECTIONS = /** @type {Record<string, [number, number]>} */ ({
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
});
const FAR = 10;

/**
 * While a button has the focus, the arrow keys move something: by one pixel, or ten with Shift; it is put down when the
 * key comes up or the focus leaves.
 * @param {HTMLElement} button
 * @param {(by: [number, number]) => void} nudge  to the right, down
 * @param {() => void} putDown
 * @param {() => boolean} isThere  whether there is something to move
 */
export function arrowKeys(button, nudge, putDown, isThere) {
  button.addEventListener("keydown", (event) => {
    const direction = DIRECTIONS[event.key];
    if (!direction || event.ctrlKey || event.altKey || event.metaKey || !isThere()) return;
    event.preventDefault(); // not a step of the film
    const by = event.shiftKey ? FAR : 1;
    nudge([direction[0] * by, direction[1] * by]);
  });
  for (const end of ["keyup", "blur"]) button.addEventListener(end, putDown);
}

/**
 * Call after the last of many calls.
 * @param {() => void} act
 * @param {number} wait  milliseconds
 */
export function later(act, wait) {
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let timer;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(act, wait);
  };
}

/**
 * Fetched HTML as nodes. Scripts in it are never run.
 * @param {string} html
 */
export const parsed = (html) => new DOMParser().parseFromString(html, "text/html").body;

/**
 * Hear what a part tells with an event of its own.
 * @param {EventTarget} part
 * @param {string} name
 * @param {(detail: any) => unknown} act
 */
export function hear(part, name, act) {
  part.addEventListener(name, (event) => void act(/** @type {CustomEvent} */ (event).detail));
}

// @ts-check
/** Small helps for the page: finding elements, filling sentences, building elements without strings of HTML. */

/** An element that the template promises. @param {string} id @returns {HTMLElement} */
export function byId(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`The page has no #${id}.`);
  return element;
}

/** @param {string} id */
export const field = (id) => /** @type {HTMLInputElement} */ (byId(id));

/** @param {string} selector @param {ParentNode} [within] @returns {HTMLElement[]} */
export const all = (selector, within = document) => [...within.querySelectorAll(selector)].map((one) => /** @type {HTMLElement} */ (one));

/** A sentence with its {places} filled. @param {string} sentence @param {Record<string, string|number>} [places] */
export const filled = (sentence, places = {}) => sentence.replace(/\{(\w+)\}/g, (whole, name) => String(places[name] ?? whole));

/**
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag @param {Record<string, string|number|boolean>} attributes  `text` is the element's words
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

/** Call after the last of many calls. @param {() => void} act @param {number} wait  milliseconds */
export function later(act, wait) {
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let timer;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(act, wait);
  };
}

/** Fetched HTML as nodes. Scripts in it are never run. @param {string} html */
export const parsed = (html) => new DOMParser().parseFromString(html, "text/html").body;

// @ts-check
/** What the page on which a clip is sent shows: which part of it, how far the clip is, and what is going on. */

import { secondsLeft } from "./upload_rate.js";

const MB = 1024 * 1024;

/**
 * @param {string} name
 * @returns {HTMLElement} the element marked data-send-<name>
 */
export function part(name) {
  const found = document.querySelector(`[data-send-${name}]`);
  if (!(found instanceof HTMLElement)) throw new Error(`The page has no data-send-${name}.`);
  return found;
}

/** @param {"choose" | "going"} shown */
export function show(shown) {
  document.querySelectorAll("[data-send-part]").forEach((element) => {
    /** @type {HTMLElement} */ (element).hidden = element.getAttribute("data-send-part") !== shown;
  });
  part("start").hidden = shown !== "choose";
  part("stop").hidden = shown === "choose";
  part("again").hidden = true;
}

/** @param {"going" | "waiting" | "checking"} what said aloud, too: it stands in a live region */
export function say(what) {
  const line = part("word");
  const words =
    { going: line.dataset.wordsGoing, waiting: line.dataset.wordsWaiting, checking: line.dataset.wordsChecking }[
      what
    ] || "";
  if (line.textContent !== words) line.textContent = words;
  line.classList.toggle("waits", what === "waiting");
  part("again").hidden = what !== "waiting";
  part("left").hidden = what !== "going";
}

/**
 * @param {number} sent bytes
 * @param {number} total
 * @param {import("./upload_rate.js").Sample[]} samples
 */
export function showSent(sent, total, samples) {
  const percent = total ? Math.floor((100 * Math.min(sent, total)) / total) : 0;
  /** @type {HTMLProgressElement} */ (part("bar")).value = percent;
  part("percent").textContent = `${percent}%`;
  part("left").textContent = leftWords(part("left").dataset, secondsLeft(samples, total));
}

/**
 * @param {DOMStringMap} words
 * @param {number | null} seconds
 */
function leftWords(words, seconds) {
  if (seconds === null || seconds <= 0) return "";
  const text = seconds < 90 ? words.wordsSeconds : words.wordsMinutes;
  return (text || "").replace("{n}", String(seconds < 90 ? seconds : Math.round(seconds / 60)));
}

/** @param {number} bytes */
export const sizeWords = (bytes) =>
  bytes < MB / 10 ? `${Math.ceil(bytes / 1024)} kB` : `${(bytes / MB).toFixed(bytes < 10 * MB ? 1 : 0)} MB`;

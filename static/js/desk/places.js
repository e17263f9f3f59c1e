// @ts-check
/**
 * Phrases with places, filled for the player on the desk (portal/desk/phrases/places.py makes them). Pure: no page.
 * @typedef {{name: string, reading: string, drill: string, pronoun: string}} Filling  "" where there is none just now
 * @typedef {{text: string, part: string, checkpoint: string, side: string, times: number}} Phrase
 */

const SPOKEN = /** @type {Record<string, [string, string, string]>} */ ({
  he: ["he", "she", "they"],
  him: ["him", "her", "them"],
  his: ["his", "her", "their"],
  hers: ["his", "hers", "theirs"],
  himself: ["himself", "herself", "themself"],
  is: ["is", "is", "are"],
  was: ["was", "was", "were"],
  has: ["has", "has", "have"],
  does: ["does", "does", "do"],
  s: ["s", "s", ""],
  es: ["es", "es", ""],
});
const WHO = ["he", "she", "they"];

/**
 * The phrase with its places filled, or null where one of them has nothing just now.
 * @param {string} text
 * @param {Filling} filling
 */
export function filledIn(text, filling) {
  let isWhole = true;
  const words = text.replace(/\{([^{}]*)\}/g, (_all, /** @type {string} */ place) => {
    const said = value(place.toLowerCase(), filling);
    isWhole = isWhole && said !== null;
    return place[0] === place[0]?.toUpperCase() ? capital(said ?? "") : (said ?? "");
  });
  return isWhole ? words : null;
}

/**
 * @param {string} place
 * @param {Filling} filling
 * @returns {string|null}
 */
function value(place, filling) {
  if (place === "name" || place === "reading" || place === "drill") return filling[place] || null;
  return SPOKEN[place]?.[Math.max(WHO.indexOf(filling.pronoun), 0)] ?? null;
}

/** @param {string} words */
const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);

/**
 * The sentence that is being written: from the end of the one before to the caret; "" where the caret is not at its
 * end.
 * @param {string} text
 * @param {number} caret
 */
export function begun(text, caret) {
  if (/\S/.test(text.slice(caret).split("\n", 1)[0])) return "";
  const before = text.slice(0, caret);
  const start = Math.max(
    ...[". ", "! ", "? ", "\n"].map((end) => (before.lastIndexOf(end) < 0 ? 0 : before.lastIndexOf(end) + end.length)),
  );
  return before.slice(start).trimStart();
}

/**
 * The phrases that may be meant, filled: first those that begin so, then those in which each word begins one of theirs,
 * in order.
 * @param {Phrase[]} phrases
 * @param {string} typed
 * @param {Filling} filling
 * @param {string} part  of the write-up that is written in
 * @param {number} [most]
 */
export function matching(phrases, typed, filling, part, most = 6) {
  const wanted = typed.toLowerCase();
  if (wanted.length < 2) return [];
  const found = phrases.flatMap((phrase) => {
    const words = filledIn(phrase.text, filling);
    const how =
      words === null || words === typed
        ? 0
        : words.toLowerCase().startsWith(wanted)
          ? 2
          : inOrder(words.toLowerCase(), wanted)
            ? 1
            : 0;
    return how && words ? [{ words, place: how * 4 + Number(phrase.part === part) * 2 + Number(!phrase.times) }] : [];
  });
  const best = found.sort((a, b) => b.place - a.place).map((one) => one.words);
  return [...new Set(best)].slice(0, most);
}

/**
 * Whether each word of `wanted` begins a word of `words`, in order; one short word alone says too little.
 * @param {string} words
 * @param {string} wanted
 */
function inOrder(words, wanted) {
  const parts = wanted.split(/\s+/).filter(Boolean);
  if (parts.length < 2 && wanted.length < 4) return false;
  const rest = words.split(/\s+/);
  return parts.every((part) => {
    const at = rest.findIndex((word) => word.startsWith(part));
    rest.splice(0, at + 1);
    return at >= 0;
  });
}

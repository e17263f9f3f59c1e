// @ts-check
/**
 * The reading strip for pages that redraw it: geometry (the same arithmetic as portal/look/strip.py, one table of cases
 * tests both) and an element built from it (the same parts as templates/components/strip.html).
 */

/**
 * @typedef {{start: number, end: number}} Span  percent of the scale
 * @typedef {{band: Span|null, bar: Span|null, needle: number|null, off: "low"|"high"|null, ticks: number[]}} Geometry
 * @typedef {readonly [number|null, number|null]} Band
 * @typedef {readonly [number, number]} Pair
 */

const SVG = "http://www.w3.org/2000/svg";

/**
 * Lay out one reading on its scale, in percent of the scale's length. Band and interval are cut at its ends.
 * @param {Pair} scale
 * @param {Band|null} band  either end null where open
 * @param {number|null} value
 * @param {Pair|null} interval
 * @param {readonly number[]} [swings]  values of the single swings that the value is the middle of
 * @returns {Geometry}
 */
export function geometry(scale, band, value, interval, swings = []) {
  const [low, high] = scale;
  if (!(Number.isFinite(low) && Number.isFinite(high) && low < high)) {
    throw new RangeError(`A scale needs two finite numbers in rising order, got ${low} and ${high}.`);
  }
  if (interval && interval[0] > interval[1]) {
    throw new RangeError(`An interval goes from low to high, got ${interval[0]} to ${interval[1]}.`);
  }
  const off = value === null || (low <= value && value <= high) ? null : value < low ? "low" : "high";
  return {
    band: band && span(low, high, band[0] ?? low, band[1] ?? high),
    bar: value === null || !interval ? null : span(low, high, interval[0], interval[1]),
    needle: value === null || off ? null : percent(low, high, value),
    off,
    ticks: swings.filter((one) => low <= one && one <= high).map((one) => percent(low, high, one)),
  };
}

/**
 * @param {number} low
 * @param {number} high
 * @param {number} start
 * @param {number} end
 * @returns {Span|null}
 */
function span(low, high, start, end) {
  if (end < low || start > high || start > end) return null;
  return { start: percent(low, high, Math.max(start, low)), end: percent(low, high, Math.min(end, high)) };
}

/**
 * @param {number} low
 * @param {number} high
 * @param {number} x
 */
const percent = (low, high, x) => Math.round((10000 * (x - low)) / (high - low)) / 100;

/**
 * One SVG part.
 * @param {string} name
 * @param {Record<string, string|number>} attributes
 */
function part(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  return element;
}

/**
 * @param {string} kind
 * @param {Span} at
 * @param {number} y
 * @param {number} height
 */
const block = (kind, at, y, height) =>
  part("rect", {
    class: `strip-${kind}`,
    x: `${at.start}%`,
    y,
    width: `${Math.round(100 * (at.end - at.start)) / 100}%`,
    height,
  });

/** @param {"low"|"high"} off */
function arrow(off) {
  const holder = part("svg", { x: off === "low" ? "0%" : "100%", y: 0, width: 1, height: 24, overflow: "visible" });
  holder.append(part("path", { class: "strip-arrow", d: off === "low" ? "M-2 12 10 5v14z" : "M2 12-10 5v14z" }));
  return holder;
}

/**
 * The drawing of one reading. `label` is what a screen reader says: value, give or take, wanted.
 * @param {Geometry} at
 * @param {string} label
 */
export function drawing(at, label) {
  const svg = part("svg", { role: "img", "aria-label": label, height: 24 });
  svg.append(part("line", { class: "strip-scale", x1: "0%", x2: "100%", y1: 12, y2: 12 }));
  if (at.band) svg.append(block("band", at.band, 5, 14));
  if (at.bar) svg.append(block("bar", at.bar, 9, 6));
  if (at.needle !== null)
    svg.append(part("line", { class: "strip-needle", x1: `${at.needle}%`, x2: `${at.needle}%`, y1: 0, y2: 24 }));
  if (at.off) svg.append(arrow(at.off));
  for (const x of at.ticks) svg.append(part("line", { class: "strip-tick", x1: `${x}%`, x2: `${x}%`, y1: 17, y2: 24 }));
  return svg;
}

/**
 * The whole strip: ends of the scale, drawing, and under it what is wanted.
 * @param {{scale: Pair, band: Band|null, value: number|null, interval: Pair|null, label: string, wanted?: string,
 * swings?: readonly number[]}} reading
 */
export function strip({ scale, band, value, interval, label, wanted = "", swings = [] }) {
  const box = document.createElement("div");
  box.className = value === null ? "strip unread" : "strip";
  const end = (/** @type {string} */ which, /** @type {number} */ number) => {
    const text = document.createElement("span");
    text.className = `end-${which}`;
    text.setAttribute("aria-hidden", "true");
    text.textContent = String(number).replace("-", "\u2212");
    return text;
  };
  box.append(
    end("low", scale[0]),
    drawing(geometry(scale, band, value, interval, swings), label),
    end("high", scale[1]),
  );
  if (wanted) box.append(Object.assign(document.createElement("span"), { className: "wanted", textContent: wanted }));
  return box;
}

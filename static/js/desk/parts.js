// @ts-check
/**
 * What a mark is made of: strokes, solid forms and words, in pixels of what is drawn on. Numbers and colours stand in
 * static/marks.json alone, which comes with the page. portal/evaluations/parts.py is the twin, for pictures that are
 * sent. `unit` is the width of a line.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {Record<string, any>} Table  static/marks.json
 * @typedef {{what: "stroke", points: Point[], colour: string, width: number, edge: number, dashed: boolean, broken?:
 * boolean}} Stroke
 * @typedef {{what: "solid", corners: Point[], colour: string, edge: number}} Solid
 * @typedef {{what: "words", lines: string[], at: Point, anchor: "start"|"middle"|"end", colour: string}} Words
 * @typedef {Stroke|Solid|Words} Part
 */
import { angleMark, axisMark, groundMark } from "./angles.js";
import { distance } from "./geometry.js";
import { isOnGround } from "./ground.js";

/** Kinds whose words stand with their number, or are all there is. */
const TELL_THEMSELVES = ["words", "angle", "upright", "level", "ground_line", "ground_edge"];

/**
 * The parts of a shape whose points lie at `points`, in the order in which they are drawn.
 * @param {Table} table
 * @param {Shape} shape
 * @param {Point[]} points
 * @param {number} unit
 * @returns {Part[]}
 */
export function partsOf(table, shape, points, unit) {
  const { kind, tone, text = "" } = shape;
  const colour = table.colours[tone];
  const dashed = tone === "wanted";
  const stroke = strokes(table, unit);
  /** @type {Part[]} */
  const made = [];
  if (kind === "words")
    made.push({ what: "words", lines: wrapped(text, table.letters.most), at: points[0], anchor: "start", colour });
  else if (kind === "arrow") made.push(...arrow(table, points, unit, colour, dashed));
  else if (kind === "ring")
    made.push(stroke(around(table, points[0], distance(points[0], points[1])), colour, 1, dashed));
  else if (isOnGround(kind)) made.push(stroke(points.slice(0, 2), colour, 1, dashed));
  else made.push(stroke(points, colour, 1, dashed || kind === "ghost"));
  if (kind === "ghost") made.push(...points.map((point) => dotAt(table, point, unit, colour)));
  const mark = markOf(table, shape, points);
  if (mark?.on) made.unshift(stroke([cornerOf(kind, points), mark.on], colour, table.line.thin));
  if (mark) made.push(number(table, cornerOf(kind, points), mark, text, colour, unit));
  if (text && !TELL_THEMSELVES.includes(kind)) made.push(beside(table, kind, points, text, colour, unit));
  return made;
}

/**
 * The lines of a body; points are [x, y, visibility]. Limbs that were hardly seen come thin and broken, at the desk
 * alone.
 * @param {Table} table
 * @param {(number[]|null)[]} points
 * @param {number} unit
 * @param {boolean} withUnsure
 * @returns {Stroke[]}
 */
export function bodyParts(table, points, unit, withUnsure) {
  const { least_visible, width, unsure_width } = table.body;
  const stroke = strokes(table, unit);
  const sure = /** @type {Stroke[]} */ ([]);
  const unsure = /** @type {Stroke[]} */ ([]);
  for (const [from, to] of table.limbs) {
    const [a, b] = [points[from], points[to]];
    if (!a || !b) continue;
    const ends = /** @type {Point[]} */ ([
      [a[0], a[1]],
      [b[0], b[1]],
    ]);
    if (Math.min(a[2], b[2]) >= least_visible) sure.push(stroke(ends, table.colours.skeleton, width));
    else if (withUnsure) unsure.push({ ...stroke(ends, table.colours.skeleton, unsure_width), broken: true });
  }
  return [...unsure, ...sure];
}

/**
 * A line from knob to barrel, and a dot at the barrel.
 * @param {Table} table
 * @param {Point[]} bat
 * @param {number} unit
 * @param {string} colour
 * @returns {Part[]}
 */
export function batParts(table, [knob, barrel], unit, colour) {
  return [strokes(table, unit)([knob, barrel], colour), dotAt(table, barrel, unit, colour)];
}

/**
 * The words in lines of at most `most` letters; a longer word has a line of its own.
 * @param {string} text
 * @param {number} most
 */
export function wrapped(text, most) {
  /** @type {string[]} */
  const lines = [];
  for (const word of text.split(/\s+/).filter(Boolean)) {
    const last = lines.length - 1;
    if (last >= 0 && lines[last].length + 1 + word.length <= most) lines[last] += ` ${word}`;
    else lines.push(word);
  }
  return lines;
}

/**
 * @param {Table} table
 * @param {Shape} shape
 * @param {Point[]} points
 */
function markOf(table, { kind, degrees }, points) {
  if (isOnGround(kind))
    return points.length > 2 && degrees !== undefined ? groundMark(points[0], points[1], points[2], degrees) : null;
  if (kind === "angle")
    return points.length > 2 ? angleMark(points[0], points[1], points[2], table.angle.goes_on) : null;
  return kind === "upright" || kind === "level" ? axisMark(points[0], points[1], kind) : null;
}

/**
 * @param {string} kind
 * @param {Point[]} points
 */
const cornerOf = (kind, points) => points[kind === "angle" ? 1 : 0];

/**
 * @param {Table} table
 * @param {Point[]} points
 * @param {number} unit
 * @param {string} colour
 * @param {boolean} dashed
 * @returns {Part[]}
 */
function arrow(table, points, unit, colour, dashed) {
  const [start, tip] = points;
  const length = distance(start, tip) || 1;
  const long = Math.min(table.head.long * unit, table.head.most_of_arrow * length);
  const half = (table.head.half * long) / table.head.long;
  const [ux, uy] = [(tip[0] - start[0]) / length, (tip[1] - start[1]) / length];
  const foot = /** @type {Point} */ ([tip[0] - long * ux, tip[1] - long * uy]);
  const corners = /** @type {Point[]} */ ([
    tip,
    [foot[0] - half * uy, foot[1] + half * ux],
    [foot[0] + half * uy, foot[1] - half * ux],
  ]);
  return [
    strokes(table, unit)([start, foot], colour, 1, dashed),
    { what: "solid", corners, colour, edge: table.head.edge * unit },
  ];
}

/**
 * The degrees, beside the corner; the words that belong to the mark below them.
 * @param {Table} table
 * @param {Point} corner
 * @param {import("./angles.js").AngleMark} mark
 * @param {string} text
 * @param {string} colour
 * @param {number} unit
 * @returns {Words}
 */
function number(table, corner, { size, toward }, text, colour, unit) {
  const away = table.angle.away * unit;
  const at = /** @type {Point} */ ([
    corner[0] + away * toward[0],
    corner[1] + away * toward[1] + capital(table, unit) / 2,
  ]);
  return {
    what: "words",
    lines: [`${Math.floor(size + 0.5)}°`, ...wrapped(text, table.letters.most)],
    at,
    anchor: "middle",
    colour,
  };
}

/**
 * Words that stick to their mark: beside the end that is not pointed at, on the side away from the mark.
 * @param {Table} table
 * @param {string} kind
 * @param {Point[]} points
 * @param {string} text
 * @param {string} colour
 * @param {number} unit
 * @returns {Words}
 */
function beside(table, kind, points, text, colour, unit) {
  const away = table.letters.beside * unit;
  const last = points[points.length - 1];
  const lines = wrapped(text, table.letters.most);
  const down = capital(table, unit) / 2;
  if (kind === "ring") {
    const far = distance(points[0], points[1]) + away;
    return {
      what: "words",
      lines,
      at: [points[0][0] + far * Math.SQRT1_2, points[0][1] - far * Math.SQRT1_2 + down],
      anchor: "start",
      colour,
    };
  }
  const end = kind === "ghost" ? points[Math.floor(points.length / 2)] : last; // of three joints the one that bends
  const [tail, other] = kind === "arrow" ? [points[0], last] : [end, points[0]];
  const isRight = tail[0] >= other[0];
  return {
    what: "words",
    lines,
    at: [tail[0] + (isRight ? away : -away), tail[1] + down],
    anchor: isRight ? "start" : "end",
    colour,
  };
}

/**
 * @param {Table} table
 * @param {number} unit
 */
const capital = ({ letters }, unit) => letters.capital * letters.size * unit;

/**
 * @param {Table} table
 * @param {number} unit
 */
const strokes =
  (table, unit) =>
  (/** @type {Point[]} */ points, /** @type {string} */ colour, thin = 1, dashed = false) =>
    /** @type {Stroke} */ ({
      what: "stroke",
      points,
      colour,
      width: thin * unit,
      edge: table.line.edge * unit,
      dashed,
    });

/**
 * @param {Table} table
 * @param {Point} at
 * @param {number} unit
 * @param {string} colour
 * @returns {Solid}
 */
const dotAt = (table, at, unit, colour) => ({
  what: "solid",
  corners: around(table, at, table.dot.radius * unit),
  colour,
  edge: table.head.edge * unit,
});

/**
 * @param {Table} table
 * @param {Point} middle
 * @param {number} radius
 * @returns {Point[]}
 */
function around({ ring: { steps } }, [x, y], radius) {
  return Array.from({ length: steps + 1 }, (_one, k) => {
    const turn = (2 * Math.PI * k) / steps;
    return [x + radius * Math.cos(turn), y + radius * Math.sin(turn)];
  });
}

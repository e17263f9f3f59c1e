// @ts-check
/**
 * Drawing in the viewport: marks, body and bat over the film, by the numbers of static/marks.json (parts.js says what a
 * mark is made of), and what only the desk shows: handles, held points, the plate. Everything has a dark edge, so that
 * it holds on grass, dirt and net.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {import("./geometry.js").View} View
 * @typedef {import("./parts.js").Part} Part
 * @typedef {CanvasRenderingContext2D} Ink
 * @typedef {{table: import("./parts.js").Table, font: string, clip: {width: number, height: number}}} Pens
 */
import { toViewport } from "./geometry.js";
import { batParts, bodyParts, partsOf } from "./parts.js";

/**
 * @param {Element} element
 * @param {import("./parts.js").Table} table
 * @param {{width: number, height: number}} clip
 * @returns {Pens}
 */
export function pensOf(element, table, clip) {
  return { table, clip, font: getComputedStyle(element).getPropertyValue("--text").trim() };
}

/**
 * How high a letter is in the viewport, and how many fit in a line.
 * @param {import("./parts.js").Table} table
 */
export const lettersOf = ({ letters, desk }) => ({ size: letters.size * desk.line_px, most: letters.most });

/**
 * One shape, in viewport pixels.
 * @param {Ink} ink
 * @param {View} view
 * @param {Shape} shape
 * @param {Pens} pens
 * @param {boolean} chosen
 */
export function paintShape(ink, view, shape, pens, chosen) {
  const points = shape.points.map((point) => toViewport(view, point));
  paintParts(
    ink,
    partsOf(pens.table, shape, points, pens.table.desk.line_px),
    pens,
    pens.table.desk.line_px,
    frameOf(view, pens),
  );
  if (chosen) points.forEach((point) => dot(ink, point, "#fff", pens.table.colours.edge, 5));
}

/**
 * The clip's picture in the viewport, in which words are kept.
 * @param {View} view
 * @param {Pens} pens
 * @returns {[number, number, number, number]}
 */
const frameOf = (view, { clip }) => [
  view.x,
  view.y,
  view.x + clip.width * view.scale,
  view.y + clip.height * view.scale,
];

/**
 * @param {Ink} ink
 * @param {Part[]} parts
 * @param {Pens} pens
 * @param {number} unit
 * @param {[number, number, number, number]} room  x0, y0, x1, y1 in which words are kept
 */
export function paintParts(ink, parts, pens, unit, room) {
  const { table } = pens;
  ink.lineCap = ink.lineJoin = "round";
  ink.globalAlpha = 1;
  for (const part of parts) {
    if (part.what === "words") write(ink, part, pens, unit, room);
    else if (part.what === "solid") fill(ink, part, table.colours.edge);
    else
      stroke(ink, lineOf(part.points), part.colour, table.colours.edge, part.width, part.edge, dashesOf(part, table));
  }
}

/**
 * @param {import("./parts.js").Stroke} part
 * @param {import("./parts.js").Table} table
 */
function dashesOf({ dashed, broken, width }, { dash }) {
  return dashed ? [dash.on * width, dash.off * width] : broken ? [2 * width, 4 * width] : [];
}

/** @param {Point[]} points */
function lineOf(points) {
  const path = new Path2D();
  points.forEach(([x, y], i) => (i ? path.lineTo(x, y) : path.moveTo(x, y)));
  return path;
}

/**
 * @param {Ink} ink
 * @param {Path2D} path
 * @param {string} colour
 * @param {string} edge
 * @param {number} width
 * @param {number} room  of the edge, to each side
 * @param {number[]} dashes
 */
function stroke(ink, path, colour, edge, width, room, dashes = []) {
  ink.lineCap = ink.lineJoin = "round";
  ink.setLineDash([]);
  ink.strokeStyle = edge;
  ink.lineWidth = width + 2 * room;
  ink.stroke(path);
  ink.setLineDash(dashes);
  ink.strokeStyle = colour;
  ink.lineWidth = width;
  ink.stroke(path);
  ink.setLineDash([]);
}

/**
 * @param {Ink} ink
 * @param {import("./parts.js").Solid} solid
 * @param {string} edge
 */
function fill(ink, solid, edge) {
  const path = lineOf(solid.corners);
  path.closePath();
  ink.strokeStyle = edge;
  ink.lineWidth = 2 * solid.edge;
  ink.stroke(path);
  ink.fillStyle = solid.colour;
  ink.fill(path);
}

/**
 * @param {Ink} ink
 * @param {import("./parts.js").Words} words
 * @param {Pens} pens
 * @param {number} unit
 * @param {[number, number, number, number]} room
 */
function write(ink, words, { table, font }, unit, room) {
  const { letters, colours } = table;
  const size = letters.size * unit;
  ink.font = `${letters.weight} ${size}px ${font}`;
  ink.textBaseline = "alphabetic";
  ink.textAlign = words.anchor === "middle" ? "center" : words.anchor === "start" ? "left" : "right";
  const [x, y] = keptIn(
    words,
    Math.max(...words.lines.map((line) => ink.measureText(line).width)),
    letters,
    unit,
    room,
  );
  const each = (/** @type {(line: string, x: number, y: number) => void} */ draw) =>
    words.lines.forEach((line, row) => draw(line, x, Math.round(y + row * letters.line * size)));
  ink.lineJoin = "round";
  ink.strokeStyle = colours.edge;
  ink.lineWidth = 2 * letters.edge * unit;
  each((...at) => ink.strokeText(...at));
  ink.fillStyle = words.colour;
  each((...at) => ink.fillText(...at));
  ink.textAlign = "left";
}

/**
 * Where words are written, so that they lie inside of `room` as far as they fit (as portal/evaluations/ink.py keeps
 * them).
 * @param {import("./parts.js").Words} words
 * @param {number} width
 * @param {Record<string, number>} letters
 * @param {number} unit
 * @param {[number, number, number, number]} room
 * @returns {Point}
 */
function keptIn({ at, anchor, lines }, width, letters, unit, room) {
  const edge = letters.edge * unit;
  const size = letters.size * unit;
  const x0 = at[0] - { start: 0, middle: width / 2, end: width }[anchor] - edge;
  const x1 = x0 + width + 2 * edge;
  const y0 = at[1] - letters.capital * size - edge;
  const y1 = at[1] + (lines.length - 1) * letters.line * size + letters.below * size + edge;
  const right = Math.min(0, room[2] - x1);
  const down = Math.min(0, room[3] - y1);
  return [at[0] + Math.max(right, room[0] - x0), at[1] + Math.max(down, room[1] - y0)];
}

/**
 * The body as it was seen. Limbs that were hardly seen are drawn thin and broken.
 * @param {Ink} ink
 * @param {View} view
 * @param {(number[]|null)[]} points  33 × [x, y, visibility]
 * @param {Pens} pens
 * @param {Set<number>} placed  keypoints that the coach put in place
 */
export function paintBody(ink, view, points, pens, placed) {
  const { colours, desk } = pens.table;
  const onViewport = points.map((point) => point && [...toViewport(view, [point[0], point[1]]), point[2]]);
  paintParts(ink, bodyParts(pens.table, onViewport, desk.line_px, true), pens, desk.line_px, frameOf(view, pens));
  for (const keypoint of placed) {
    const point = onViewport[keypoint];
    if (point) dot(ink, [point[0], point[1]], colours.coach, colours.edge, 5);
  }
}

/**
 * @param {Ink} ink
 * @param {View} view
 * @param {Point[]} bat  knob, barrel
 * @param {Pens} pens
 * @param {boolean} placed
 */
export function paintBat(ink, view, bat, pens, placed) {
  const { colours, desk } = pens.table;
  const ends = bat.map((end) => toViewport(view, end));
  paintParts(
    ink,
    batParts(pens.table, ends, desk.line_px, placed ? colours.coach : colours.skeleton),
    pens,
    desk.line_px,
    frameOf(view, pens),
  );
}

/**
 * Home plate: its corners in order around it, joined to a ring once there are five.
 * @param {Ink} ink
 * @param {View} view
 * @param {Point[]} corners
 * @param {Pens} pens
 * @param {boolean} isHeld  whether the corners can be taken hold of
 */
export function paintPlate(ink, view, corners, { table: { colours } }, isHeld) {
  if (!corners.length) return;
  const points = corners.map((corner) => toViewport(view, corner));
  const path = lineOf(points);
  if (corners.length === 5) path.closePath();
  stroke(ink, path, colours.coach, colours.edge, 2, 1.5);
  if (isHeld) for (const point of points) dot(ink, point, "#fff", colours.edge, 4);
}

/**
 * Points that can be taken hold of, with a ring around the chosen one.
 * @param {Ink} ink
 * @param {View} view
 * @param {Point[]} points
 * @param {Point|null} chosen
 * @param {Pens} pens
 */
export function paintHolds(ink, view, points, chosen, { table: { colours } }) {
  for (const point of points) dot(ink, toViewport(view, point), "#fff", colours.edge, 4);
  if (!chosen) return;
  const ring = new Path2D();
  ring.arc(...toViewport(view, chosen), 11, 0, 2 * Math.PI);
  stroke(ink, ring, colours.coach, colours.edge, 2.5, 1.5);
}

/**
 * @param {Ink} ink
 * @param {Point} at
 * @param {string} tone
 * @param {string} edge
 * @param {number} size
 */
function dot(ink, [x, y], tone, edge, size) {
  ink.beginPath();
  ink.arc(x, y, size, 0, 2 * Math.PI);
  ink.fillStyle = tone;
  ink.strokeStyle = edge;
  ink.lineWidth = 2;
  ink.fill();
  ink.stroke();
}

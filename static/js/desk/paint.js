// @ts-check
/**
 * Drawing on the stage: shapes, body and bat over the film. Every mark has a dark edge, so that it holds on grass, dirt and
 * net; tones come from the page's tokens; the wanted tone is dashed, so that colour never speaks alone.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Shape} Shape
 * @typedef {import("./geometry.js").View} View
 * @typedef {CanvasRenderingContext2D} Ink
 * @typedef {{seen: string, wanted: string, coach: string, edge: string, text: string}} Tones
 */
import { angleMark } from "./angles.js";
import { distance, toStage } from "./geometry.js";
import { LIMBS } from "./limbs.js";
import { degrees } from "./shapes.js";

export const LETTERS = 17;
const WIDTH = 3;
const LEAST_VISIBLE = 0.35;

/** @param {Element} element @returns {Tones} */
export function tonesOf(element) {
  const style = getComputedStyle(element);
  const token = (/** @type {string} */ name) => style.getPropertyValue(name).trim();
  return { seen: token("--film-seen"), wanted: token("--film-wanted"), coach: token("--film-coach"), edge: token("--film-edge"), text: token("--text") };
}

/**
 * One shape, in stage pixels.
 * @param {Ink} ink @param {View} view @param {Shape} shape @param {Tones} tones @param {boolean} chosen
 */
export function paintShape(ink, view, shape, tones, chosen) {
  const points = shape.points.map((point) => toStage(view, point));
  const dashes = shape.tone === "wanted" && shape.kind !== "words" ? [11, 8] : [];
  if (shape.kind === "words") write(ink, shape.text ?? "", points[0], tones[shape.tone], tones);
  else stroke(ink, pathOf(shape, points), tones[shape.tone], tones.edge, dashes);
  if (shape.kind === "arrow") stroke(ink, head(points[0], points[1]), tones[shape.tone], tones.edge, []);
  const size = degrees(shape);
  if (size) paintAngle(ink, points, size, tones[shape.tone], tones);
  if (chosen) points.forEach((point) => handle(ink, point, tones));
}

/** @param {Shape} shape @param {Point[]} points */
function pathOf(shape, points) {
  const path = new Path2D();
  if (shape.kind === "ring") path.arc(points[0][0], points[0][1], distance(points[0], points[1]), 0, 2 * Math.PI);
  else points.forEach(([x, y], i) => (i ? path.lineTo(x, y) : path.moveTo(x, y)));
  return path;
}

/** @param {Ink} ink @param {Path2D} path @param {string} tone @param {string} edge @param {number[]} dashes */
function stroke(ink, path, tone, edge, dashes, width = WIDTH) {
  ink.lineCap = ink.lineJoin = "round";
  ink.setLineDash([]);
  ink.globalAlpha = dashes.length ? 0.6 : 0.85;
  ink.strokeStyle = edge;
  ink.lineWidth = width + 3;
  ink.stroke(path);
  ink.globalAlpha = 1;
  ink.setLineDash(dashes);
  ink.strokeStyle = tone;
  ink.lineWidth = width;
  ink.stroke(path);
  ink.setLineDash([]);
}

/** The two barbs at an arrow's tip. @param {Point} from @param {Point} tip */
function head(from, tip) {
  const along = Math.atan2(tip[1] - from[1], tip[0] - from[0]);
  const length = Math.min(16, distance(from, tip) / 2);
  const path = new Path2D();
  for (const turn of [-0.5, 0.5]) {
    path.moveTo(tip[0], tip[1]);
    path.lineTo(tip[0] - length * Math.cos(along + turn), tip[1] - length * Math.sin(along + turn));
  }
  return path;
}

/** The first arm drawn on where the bend is told, and the number. @param {Ink} ink @param {Point[]} points @param {string} size @param {string} tone @param {Tones} tones */
function paintAngle(ink, [end, corner, other], size, tone, tones) {
  const mark = angleMark(end, corner, other);
  if (!mark) return;
  if (mark.on) {
    const on = new Path2D();
    on.moveTo(...corner);
    on.lineTo(...mark.on);
    stroke(ink, on, tone, tones.edge, [], WIDTH / 2);
  }
  write(ink, size, [corner[0] + 34 * mark.toward[0] - 12, corner[1] + 34 * mark.toward[1] + 6], "#fff", tones);
}

/** @param {Ink} ink @param {string} words @param {Point} at @param {string} tone @param {Tones} tones */
function write(ink, words, [x, y], tone, tones) {
  ink.font = `700 ${LETTERS}px ${tones.text}`;
  ink.textBaseline = "alphabetic";
  ink.lineJoin = "round";
  ink.strokeStyle = tones.edge;
  ink.lineWidth = 5;
  ink.strokeText(words, x, y);
  ink.fillStyle = tone;
  ink.fillText(words, x, y);
}

/** @param {Ink} ink @param {Point} at @param {Tones} tones */
function handle(ink, [x, y], tones) {
  ink.fillStyle = "#fff";
  ink.strokeStyle = tones.edge;
  ink.lineWidth = 2;
  ink.beginPath();
  ink.arc(x, y, 5, 0, 2 * Math.PI);
  ink.fill();
  ink.stroke();
}

/**
 * The body as it was seen. Keypoints that were hardly seen are drawn thin and broken.
 * @param {Ink} ink @param {View} view @param {(number[]|null)[]} points  33 × [x, y, visibility] @param {Tones} tones
 * @param {Set<number>} placed  keypoints that the coach put in place
 */
export function paintBody(ink, view, points, tones, placed) {
  const [sure, unsure] = [new Path2D(), new Path2D()];
  for (const [from, to] of LIMBS) {
    const [a, b] = [points[from], points[to]];
    if (!a || !b) continue;
    const path = Math.min(a[2], b[2]) < LEAST_VISIBLE ? unsure : sure;
    path.moveTo(...toStage(view, [a[0], a[1]]));
    path.lineTo(...toStage(view, [b[0], b[1]]));
  }
  stroke(ink, unsure, tones.seen, tones.edge, [3, 6], 1.5);
  stroke(ink, sure, tones.seen, tones.edge, [], 2.2);
  for (const keypoint of placed) {
    const point = points[keypoint];
    if (point) dot(ink, toStage(view, [point[0], point[1]]), tones.coach, tones.edge, 5);
  }
}

/** @param {Ink} ink @param {View} view @param {Point[]} bat  knob, barrel @param {Tones} tones @param {boolean} placed */
export function paintBat(ink, view, [knob, barrel], tones, placed) {
  const path = new Path2D();
  path.moveTo(...toStage(view, knob));
  path.lineTo(...toStage(view, barrel));
  stroke(ink, path, placed ? tones.coach : tones.seen, tones.edge, [], 3);
  dot(ink, toStage(view, barrel), placed ? tones.coach : tones.seen, tones.edge, 4);
}

/** Home plate: its corners in order around it, joined to a ring once there are five. @param {Ink} ink @param {View} view @param {Point[]} corners @param {Tones} tones @param {boolean} isHeld  whether the corners can be taken hold of */
export function paintPlate(ink, view, corners, tones, isHeld) {
  if (!corners.length) return;
  const points = corners.map((corner) => toStage(view, corner));
  const path = new Path2D();
  points.forEach(([x, y], i) => (i ? path.lineTo(x, y) : path.moveTo(x, y)));
  if (corners.length === 5) path.closePath();
  stroke(ink, path, tones.coach, tones.edge, [], 2);
  if (isHeld) for (const point of points) dot(ink, point, "#fff", tones.edge, 4);
}

/** Points that can be taken hold of, with a ring around the chosen one. @param {Ink} ink @param {View} view @param {Point[]} points @param {Point|null} chosen @param {Tones} tones */
export function paintHolds(ink, view, points, chosen, tones) {
  for (const point of points) dot(ink, toStage(view, point), "#fff", tones.edge, 4);
  if (!chosen) return;
  const ring = new Path2D();
  ring.arc(...toStage(view, chosen), 11, 0, 2 * Math.PI);
  stroke(ink, ring, tones.coach, tones.edge, [], 2.5);
}

/** @param {Ink} ink @param {Point} at @param {string} tone @param {string} edge @param {number} size */
function dot(ink, [x, y], tone, edge, size) {
  ink.beginPath();
  ink.arc(x, y, size, 0, 2 * Math.PI);
  ink.fillStyle = tone;
  ink.strokeStyle = edge;
  ink.lineWidth = 2;
  ink.fill();
  ink.stroke();
}

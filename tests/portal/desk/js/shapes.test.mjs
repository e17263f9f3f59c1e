// Shapes as they are drawn, hit and moved.
import assert from "node:assert/strict";
import { test } from "node:test";
import * as s from "../../../../static/js/desk/shapes.js";

const line = {
  kind: "line",
  tone: "seen",
  points: [
    [0, 0],
    [100, 0],
  ],
};
const ring = {
  kind: "ring",
  tone: "seen",
  points: [
    [50, 50],
    [50, 80],
  ],
};
const words = { kind: "words", tone: "coach", points: [[200, 100]], text: "closed" };

test("a line follows the pointer with its last point", () => {
  const drawn = s.drawnTo(s.drawnTo(s.begun("line", "wanted", [1, 2]), [5, 5]), [9, 9]);
  assert.deepEqual(drawn, {
    kind: "line",
    tone: "wanted",
    points: [
      [1, 2],
      [9, 9],
    ],
  });
});

test("an angle takes two strokes, the second from its corner", () => {
  let angle = s.drawnTo(s.begun("angle", "seen", [10, 0]), [0, 0]);
  assert.ok(s.needsMore(angle));
  angle = s.drawnTo(s.goneOn(angle, [3, 3]), [0, 10]);
  assert.ok(!s.needsMore(angle));
});

test("what is too small to be meant is not kept", () => {
  assert.equal(s.finished(s.drawnTo(s.begun("line", "seen", [5, 5]), [7, 6]), 6), null);
  assert.deepEqual(s.finished(s.drawnTo(s.begun("arrow", "seen", [0, 0]), [40.123, 0]), 6).points, [
    [0, 0],
    [40.1, 0],
  ]);
  assert.equal(s.finished({ ...words, text: "" }, 6), null);
});

test("a long free stroke fits the server's most of points", () => {
  let stroke = s.begun("free", "seen", [0, 0]);
  for (let i = 0; i < 5000; i++) stroke = s.drawnTo(stroke, [i, 300 * Math.sin(i) + 300]);
  assert.ok(s.finished(stroke, 8).points.length <= 400);
});

test("a ring is hit on its rim, not in its middle", () => {
  assert.equal(s.away(ring, [50, 50], 17), 30);
  assert.equal(s.away(ring, [80, 50], 17), 0);
  assert.equal(s.hit([line, ring], [81, 50], 5, 17), 1);
});

test("the nearest shape is hit, the newest of equals, none out of reach", () => {
  assert.equal(s.hit([line, { ...line }], [50, 3], 5, 17), 1);
  assert.equal(s.hit([line, ring, words], [210, 95], 5, 17), 2);
  assert.equal(s.hit([line], [50, 30], 5, 17), -1);
});

test("corners are taken hold of, and a moved shape keeps its form", () => {
  assert.equal(s.corner(line, [98, 2], 5), 1);
  assert.equal(s.corner(words, [200, 100], 5), -1);
  assert.deepEqual(s.shifted(line, [5, -5]).points, [
    [5, -5],
    [105, -5],
  ]);
  assert.deepEqual(s.withCorner(line, 1, [7, 7]).points, [
    [0, 0],
    [7, 7],
  ]);
});

// A moving camera's mapping and its way back; the plate's and the swings' corrections as functions.
import assert from "node:assert/strict";
import { test } from "node:test";
import { fromReference, STILL, toReference } from "../../../../static/js/desk/camera.js";
import { plateAt, swingAdded, swingBack, swingOut } from "../../../../static/js/desk/moves.js";

const MOVED = [1.02, 0.03, -14.5, -0.02, 0.98, 6.25, 2e-5, -1e-5, 1];
const near = ([x, y], [u, v]) => assert.ok(Math.hypot(x - u, y - v) < 1e-5, `${x}, ${y} is not ${u}, ${v}`);

test("points map as OpenCV's perspectiveTransform maps them", () => {
  // cv2.perspectiveTransform of opencv-python-headless with this matrix
  const known = [
    [
      [320, 180],
      [315.847103, 175.442962],
    ],
    [
      [12.5, 301],
      [7.300148, 301.813004],
    ],
    [
      [633, 5],
      [623.448317, -1.491196],
    ],
  ];
  for (const [from, to] of known) near(toReference(MOVED, from), to);
});

test("the way back leads back", () => {
  for (const point of [
    [0, 0],
    [640, 360],
    [12, 345.5],
  ])
    near(fromReference(MOVED, toReference(MOVED, point)), point);
  assert.deepEqual(fromReference(STILL, [3, 4]), [3, 4]);
});

test("the plate is placed, placed anew and taken back", () => {
  const corners = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0.5, 1.5],
    [0, 1],
  ];
  assert.deepEqual(plateAt(corners)({ hand: "left" }), { hand: "left", plate: corners });
  assert.deepEqual(plateAt(null)({ hand: "left", plate: corners }), { hand: "left" });
});

test("a swing is taken out once and put back, and others keep their numbers", () => {
  const out = swingOut(1)(swingOut(1)({ add_swings: [{ start_frame: 1, end_frame: 9 }] }));
  assert.deepEqual(out.remove_swings, [1]);
  assert.equal(out.add_swings.length, 1); // an added swing that goes is only marked: its place is the next one's number
  assert.deepEqual(swingBack(1)(swingOut(4)(out)).remove_swings, [4]);
});

test("a swing is added behind those added before", () => {
  const two = swingAdded(50, 90)(swingAdded(1, 9)({}));
  assert.deepEqual(
    two.add_swings.map((swing) => swing.start_frame),
    [1, 50],
  );
});

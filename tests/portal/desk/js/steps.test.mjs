// Undo of what is put in place: frame by frame, whatever another window did meanwhile.
import assert from "node:assert/strict";
import { test } from "node:test";
import { batAt, frameBack, keypointAt, keypointBack } from "../../../../static/js/desk/moves.js";
import { Steps } from "../../../../static/js/desk/steps.js";

/** Corrections that take every move at once. */
function correcting() {
  return { now: {}, make(move) { this.now = move(this.now); } };
}

const knee = { frame: 7, keypoint: 25, x: 10, y: 20 };
const bat = { frame: 7, knob: [1, 2], barrel: [3, 4] };

test("a step is undone and done again, and says its frame", () => {
  const held = correcting();
  const steps = new Steps(held);
  steps.make(7, keypointAt(7, 25, [10, 20]));
  steps.make(7, batAt(7, [1, 2], [3, 4]));
  assert.deepEqual(held.now, { keypoints: [knee], bat: [bat] });
  assert.equal(steps.undo(), 7);
  assert.deepEqual(held.now, { keypoints: [knee], bat: [] });
  assert.equal(steps.undo(), 7);
  assert.deepEqual(held.now, { keypoints: [], bat: [] });
  assert.equal(steps.undo(), null);
  steps.redo();
  steps.redo();
  assert.deepEqual(held.now, { keypoints: [knee], bat: [bat] });
  assert.equal(steps.redo(), null);
});

test("a point moved twice goes back to its first place", () => {
  const held = correcting();
  const steps = new Steps(held);
  steps.make(7, keypointAt(7, 25, [10, 20]));
  steps.make(7, keypointAt(7, 25, [30, 40]));
  steps.undo();
  assert.deepEqual(held.now.keypoints, [knee]);
});

test("a frame given back is had again with all that stood on it", () => {
  const held = correcting();
  const steps = new Steps(held);
  steps.make(7, keypointAt(7, 25, [10, 20]));
  steps.make(7, batAt(7, [1, 2], [3, 4]));
  steps.make(7, frameBack(7));
  assert.deepEqual(held.now, { keypoints: [], bat: [] });
  steps.undo();
  assert.deepEqual(held.now, { keypoints: [knee], bat: [bat] });
});

test("undo leaves other frames, and what another window put there, alone", () => {
  const held = correcting();
  const steps = new Steps(held);
  steps.make(7, keypointAt(7, 25, [10, 20]));
  held.make(keypointAt(9, 25, [5, 5])); // another window
  held.make((now) => ({ ...now, hand: "left" }));
  steps.undo();
  assert.deepEqual(held.now, { keypoints: [{ frame: 9, keypoint: 25, x: 5, y: 5 }], bat: [], hand: "left" });
});

test("a new step forgets what was undone", () => {
  const held = correcting();
  const steps = new Steps(held);
  steps.make(7, keypointAt(7, 25, [10, 20]));
  steps.undo();
  steps.make(8, keypointAt(8, 26, [1, 1]));
  assert.equal(steps.redo(), null);
});

test("one keypoint goes back alone", () => {
  const held = correcting();
  for (const keypoint of [25, 26]) held.make(keypointAt(7, keypoint, [10, 20]));
  held.make(keypointBack(7, 25));
  assert.deepEqual(held.now.keypoints, [{ ...knee, keypoint: 26 }]);
});

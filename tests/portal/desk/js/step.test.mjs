// Two films in step, and one over the other.
import assert from "node:assert/strict";
import { test } from "node:test";
import { inStep, matched } from "../../../../static/js/desk/step.js";

const film = (fps, contact, speed = 1) => ({
  instants: { contact, load: null },
  speed,
  count: 400,
  time: (frame) => frame / fps,
});

test("frames go together by the time that was lived", () => {
  assert.deepEqual(inStep([film(60, 100), film(240, 200)], "contact", 0), [100, 200]);
  assert.deepEqual(inStep([film(60, 100), film(240, 200)], "contact", -10), [90, 160]);
  // the other was slowed down four times
  assert.deepEqual(inStep([film(60, 100), film(60, 50, 4)], "contact", 5), [105, 70]);
});

test("at a film's end it stays, and an instant that one does not know gives nothing", () => {
  assert.deepEqual(inStep([film(60, 100), film(60, 10)], "contact", -50), [50, 0]);
  assert.equal(inStep([film(60, 100), film(60, 10)], "load", 0), null);
});

test("hips lie on hips, and the other is as tall", () => {
  const body = (x, tall) => ({
    points: Object.assign(Array(33).fill(null), { 23: [x - 5, 200, 1], 24: [x + 5, 200, 1] }),
    box: [x - 50, 100, x + 50, 100 + tall],
  });
  for (const isMirrored of [false, true]) {
    const lie = matched(body(300, 400), body(100, 200), isMirrored);
    assert.equal(lie.scale, 2);
    assert.deepEqual([lie.turn * lie.scale * 100 + lie.x, lie.scale * 200 + lie.y], [300, 200]);
  }
  assert.equal(matched(null, body(1, 2), false), null);
});

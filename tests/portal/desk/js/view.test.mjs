// The part of the film that the family's player shows.
import assert from "node:assert/strict";
import { test } from "node:test";
import { part } from "../../../../static/js/evaluations/view.js";

test("the hitter's box, within the film", () => {
  assert.deepEqual(part([100, 100, 400, 400], 1280, 720), [100, 100, 400, 400]);
  assert.deepEqual(part(null, 1280, 720), [0, 0, 1280, 720]);
});

test("a narrow box becomes wider and a flat one higher, around its middle", () => {
  assert.deepEqual(part([500, 0, 600, 700], 1280, 720).map(Math.round), [305, 0, 795, 700]);
  assert.deepEqual(part([0, 300, 800, 400], 1280, 720), [0, 100, 800, 600]);
});

test("at the edge of the film it is shifted, never beyond", () => {
  assert.deepEqual(part([0, 0, 100, 700], 1280, 720).map(Math.round), [0, 0, 490, 700]);
  assert.deepEqual(part([0, 0, 100, 1900], 400, 1920), [0, 0, 400, 1900]);
});

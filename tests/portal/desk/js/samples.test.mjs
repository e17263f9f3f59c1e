// The sample table: runs between key frames, byte spans, stamps.
import assert from "node:assert/strict";
import { test } from "node:test";
import { frameOf, fromBase64, run, span, stamp } from "../../../../static/js/desk/samples.js";
import { Bitmaps } from "../../../../static/js/desk/bitmaps.js";

const samples = Array.from({ length: 30 }, (_, i) => [1000 + i * 10, 10, i % 12 ? 0 : 1]);
const table = { samples };

test("a run goes from the key frame to the one before the next", () => {
  assert.deepEqual(run(table, 0), [0, 11]);
  assert.deepEqual(run(table, 11), [0, 11]);
  assert.deepEqual(run(table, 12), [12, 23]);
  assert.deepEqual(run(table, 29), [24, 29]);
});

test("a frame that the copy has not is refused", () => {
  for (const wrong of [-1, 30, 1.5, NaN]) assert.throws(() => run(table, wrong), /The copy has no frame/);
});

test("the span holds all samples of a run, also with sound between them", () => {
  assert.deepEqual(span(table, 12, 23), [1120, 1240]);
  assert.deepEqual(
    span(
      {
        samples: [
          [50, 5, 1],
          [90, 7, 0],
          [60, 3, 0],
        ],
      },
      0,
      2,
    ),
    [50, 97],
  );
});

test("a stamp gives its frame back for every frame of a long clip", () => {
  for (let frame = 0; frame < 200000; frame += 7) assert.equal(frameOf(stamp(frame)), frame);
});

test("base64 as atob reads it", () => assert.deepEqual([...fromBase64("AWQAH//h")], [1, 100, 0, 31, 255, 225]));

const bitmap = () => ({
  width: 1,
  height: 1,
  closed: 0,
  close() {
    this.closed++;
  },
});

test("the window closes what goes, never what is shown", () => {
  const window = new Bitmaps(3);
  const all = Array.from({ length: 6 }, bitmap);
  window.kept = 0;
  all.forEach((one, i) => window.put(i, one));
  assert.deepEqual(
    all.map((one) => one.closed),
    [0, 1, 1, 1, 0, 0],
  );
  assert.equal(window.get(0), all[0]);
});

test("a second picture of a frame is closed and the first stays", () => {
  const window = new Bitmaps(3);
  const [one, two] = [bitmap(), bitmap()];
  window.put(4, one);
  assert.equal(window.put(4, two), one);
  assert.deepEqual([one.closed, two.closed], [0, 1]);
});

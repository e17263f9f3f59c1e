// Pure geometry: round trips, and figures worked out by hand (3-4-5 triangles, right angles).
import assert from "node:assert/strict";
import { test } from "node:test";
import * as g from "../../../../static/js/desk/geometry.js";

const CLIPS = [
  { width: 1920, height: 1080 },
  { width: 720, height: 1280 },
  { width: 640, height: 480 },
];
const VIEWPORTS = [
  { width: 808, height: 494 },
  { width: 360, height: 300 },
  { width: 1000.5, height: 333.25 },
];
const near = (a, b, by = 1e-9) => a.forEach((value, i) => assert.ok(Math.abs(value - b[i]) <= by, `${a} is not ${b}`));
const each = (run) => CLIPS.forEach((clip) => VIEWPORTS.forEach((viewport) => run(clip, viewport)));

test("clip to viewport and back is where it began, also when zoomed and moved", () => {
  each((clip, viewport) => {
    const view = g.moved(g.zoomed(g.fit(clip, viewport), 2.7, [31, 57]), [-11, 4.5]);
    for (const point of [
      [0, 0],
      [clip.width, clip.height],
      [123.4, 567.8],
      [-50, 9999],
    ])
      near(g.toClip(view, g.toViewport(view, point)), point, 1e-6);
  });
});

test("the whole clip fits, touches two edges and stands in the middle", () => {
  each((clip, viewport) => {
    const view = g.fit(clip, viewport);
    const [x0, y0] = g.toViewport(view, [0, 0]);
    const [x1, y1] = g.toViewport(view, [clip.width, clip.height]);
    near([x0 + x1, y0 + y1], [viewport.width, viewport.height], 1e-6);
    assert.ok(x0 >= -1e-9 && y0 >= -1e-9);
    assert.ok(Math.abs(x0) < 1e-9 || Math.abs(y0) < 1e-9);
  });
});

test("a size that is none is refused by name", () => {
  assert.throws(() => g.fit({ width: 0, height: 9 }, VIEWPORTS[0]), /clip needs a width and a height, got 0 × 9/);
});

test("zooming leaves the point under the pointer where it is", () => {
  const view = g.fit(CLIPS[0], VIEWPORTS[0]);
  near(g.toClip(g.zoomed(view, 3, [200, 100]), [200, 100]), g.toClip(view, [200, 100]), 1e-9);
});

test("a kept view is never smaller than the whole, never too large, and shows no needless edge", () => {
  const [clip, viewport] = [CLIPS[0], VIEWPORTS[0]];
  const whole = g.fit(clip, viewport);
  near(Object.values(g.kept({ scale: whole.scale / 9, x: 77, y: -3 }, clip, viewport)), Object.values(whole));
  assert.equal(g.kept({ scale: 99, x: 0, y: 0 }, clip, viewport).scale, whole.scale * 8);
  const far = g.kept({ scale: whole.scale * 2, x: 500, y: -9999 }, clip, viewport);
  near([far.x, far.y + clip.height * far.scale], [0, viewport.height], 1e-9);
});

test("distances to a stretch end at its ends", () => {
  assert.equal(g.distanceToSegment([0, 5], [-3, 0], [3, 0]), 5);
  assert.equal(g.distanceToSegment([6, 4], [-3, 0], [3, 0]), 5); // 3-4-5 beyond the end
  assert.equal(g.distanceToSegment([3, 4], [0, 0], [0, 0]), 5); // a stretch without length
  assert.equal(
    g.distanceToLine(
      [10, 1],
      [
        [0, 0],
        [10, 0],
        [10, 10],
      ],
    ),
    0,
  );
});

test("angles are those of the set square, whichever way round", () => {
  assert.ok(Math.abs(g.angle([1, 0], [0, 0], [0, 7]) - 90) < 1e-12);
  assert.ok(Math.abs(g.angle([0, 7], [0, 0], [1, 0]) - 90) < 1e-12);
  assert.ok(Math.abs(g.angle([5, 5], [0, 0], [-2, -2]) - 180) < 1e-9);
  assert.ok(Math.abs(g.angle([1, 0], [0, 0], [1, Math.sqrt(3)]) - 60) < 1e-9);
  assert.ok(Number.isNaN(g.angle([0, 0], [0, 0], [1, 1])));
});

test("a simplified stroke keeps its ends and leaves no point farther away than allowed", () => {
  const stroke = Array.from({ length: 200 }, (_, i) => [i, 40 * Math.sin(i / 15)]);
  const less = g.simplified(stroke, 1.5);
  assert.deepEqual([less[0], less.at(-1)], [stroke[0], stroke.at(-1)]);
  assert.ok(less.length < 60);
  for (const point of stroke) assert.ok(g.distanceToLine(point, less) <= 1.5 + 1e-9);
});

test("a part of the clip fills the viewport in the middle, and at the clip's edge as far as it goes", () => {
  const [clip, viewport] = [
    { width: 640, height: 360 },
    { width: 700, height: 500 },
  ];
  const box = [250, 80, 390, 280];
  const view = g.filling(box, clip, viewport);
  assert.equal(view.scale, 2.5);
  near(g.toViewport(view, [320, 180]), [350, 250], 1e-9);
  const atEdge = g.filling([0, 80, 140, 280], clip, viewport);
  near(g.toViewport(atEdge, [0, 180]), [0, 250], 1e-9);
});

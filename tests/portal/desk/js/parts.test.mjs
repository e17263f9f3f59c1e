// What a mark is made of.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import * as p from "../../../../static/js/desk/parts.js";

const table = JSON.parse(readFileSync(new URL("../../../../static/marks.json", import.meta.url), "utf8"));
const tell = (kind, points, text = "") =>
  p
    .partsOf(table, { kind, tone: "coach", points, text }, points, 3)
    .filter(({ what }) => what === "words")
    .map(({ lines }) => lines);

test("an angle tells its degrees once it has two arms", () => {
  assert.deepEqual(
    tell("angle", [
      [10, 0],
      [0, 0],
      [0, 10],
    ]),
    [["90°"]],
  );
  assert.deepEqual(
    tell("angle", [
      [10, 0],
      [0, 0],
    ]),
    [],
  );
  assert.deepEqual(
    tell("line", [
      [10, 0],
      [0, 0],
    ]),
    [],
  );
});

test("words stick to their mark, below its number where it has one", () => {
  assert.deepEqual(
    tell(
      "upright",
      [
        [0, 100],
        [0, 0],
      ],
      "stay tall",
    ),
    [["0°", "stay tall"]],
  );
  assert.deepEqual(
    tell(
      "arrow",
      [
        [0, 100],
        [0, 0],
      ],
      "push",
    ),
    [["push"]],
  );
});

test("a line of words holds as many letters as the table says", () => {
  assert.deepEqual(p.wrapped("keep the front knee soft", 10), ["keep the", "front knee", "soft"]);
});

test("limbs that were hardly seen come broken, and only at the desk", () => {
  const body = Array.from({ length: 33 }, (_one, k) => [k, k, k === 27 ? 0.3 : 0.9]);
  const [all, sure] = [true, false].map((withUnsure) => p.bodyParts(table, body, 3, withUnsure));
  assert.equal(all.length, table.limbs.length);
  assert.equal(sure.length, table.limbs.filter(([a, b]) => a !== 27 && b !== 27).length);
  assert.ok(all.slice(0, all.length - sure.length).every(({ broken }) => broken));
});

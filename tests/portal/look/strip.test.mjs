// The same table of cases as test_strip.py, for the desk's module.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { geometry } from "../../../static/js/strip.js";

const cases = JSON.parse(readFileSync(new URL("strip_cases.json", import.meta.url), "utf8"));

for (const { what, in: given, out } of cases) {
  test(what, () => assert.deepEqual(geometry(...given), out));
}

test("a scale the wrong way round is refused", () => {
  assert.throws(() => geometry([10, 0], null, 1, null), /rising order, got 10 and 0/);
});

test("an interval the wrong way round is refused", () => {
  assert.throws(() => geometry([0, 10], null, 1, [5, 3]), /got 5 to 3/);
});

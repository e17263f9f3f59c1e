// An instant that a coach puts on the wrong side of another one is taken, and said.
import assert from "node:assert/strict";
import { test } from "node:test";
import { outOfOrder } from "../../../../static/js/desk/order.js";

const ORDER = ["set_up", "load", "foot_down", "swing_start", "contact", "extension", "finish", "preview"];
const INSTANTS = {
  set_up: { frame: 10 },
  load: { frame: 30 },
  foot_down: { frame: 50 },
  swing_start: { frame: 52 },
  contact: { frame: 60 },
  extension: { frame: null },
};

test("in its place it is simply moved", () => {
  assert.deepEqual(outOfOrder(INSTANTS, ORDER, "foot_down", 55), ["did_instant", ""]);
  assert.deepEqual(outOfOrder(INSTANTS, ORDER, "swing_start", 45), ["did_instant", ""]);
  assert.deepEqual(outOfOrder(INSTANTS, ORDER, "contact", 300), ["did_instant", ""]);
});

test("after a later one, or before an earlier one, the other is named", () => {
  assert.deepEqual(outOfOrder(INSTANTS, ORDER, "foot_down", 70), ["did_instant_after", "contact"]);
  assert.deepEqual(outOfOrder(INSTANTS, ORDER, "contact", 40), ["did_instant_before", "foot_down"]);
  assert.deepEqual(outOfOrder(INSTANTS, ORDER, "load", 5), ["did_instant_before", "set_up"]);
});

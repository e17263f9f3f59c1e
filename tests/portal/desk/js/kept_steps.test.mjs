// What can be undone goes over a reload, for one account and one clip, for a while.
import assert from "node:assert/strict";
import { test } from "node:test";
import { History } from "../../../../static/js/desk/history.js";
import { keepSteps, keptSteps } from "../../../../static/js/desk/kept_steps.js";

function session() {
  const held = new Map();
  return {
    held,
    getItem: (key) => held.get(key) ?? null,
    setItem: (key, value) => void held.set(key, value),
    removeItem: (key) => void held.delete(key),
  };
}

const DESK = { submission: "s1", clip: { id: "c1" } };
const NOTHING = { done: [], undone: [], saying: "" };
const step = (words) => ({ words, undo() {}, redo() {}, deeds: [{ kind: "rating", before: null, after: words }] });

test("steps come again as data, once, with what has to be read still", () => {
  const store = session();
  const history = new History();
  history.did(step("good"));
  history.did(step("watch"));
  history.undo();
  keepSteps(store, DESK, "7", { ...history.told(), saying: "Undid: watch" });
  const { done, undone, saying } = keptSteps(store, DESK, "7");
  assert.deepEqual(done, [{ words: "good", deeds: [{ kind: "rating", before: null, after: "good" }] }]);
  assert.equal(undone[0].words, "watch");
  assert.equal(saying, "Undid: watch");
  assert.deepEqual(keptSteps(store, DESK, "7"), NOTHING);
});

test("another account, another clip and another day begin anew", () => {
  const store = session();
  const steps = { done: [{ words: "good", deeds: [] }], undone: [], saying: "" };
  keepSteps(store, DESK, "7", steps);
  assert.deepEqual(keptSteps(store, DESK, "8"), NOTHING);
  assert.deepEqual(keptSteps(store, { ...DESK, clip: { id: "c2" } }, "7"), NOTHING);
  assert.equal(store.held.size, 0);
  keepSteps(store, DESK, "7", steps, 0);
  assert.deepEqual(keptSteps(store, DESK, "7", 11 * 60 * 1000), NOTHING);
});

test("a full store keeps no older steps", () => {
  const store = session();
  keepSteps(store, DESK, "7", { ...NOTHING, saying: "old" });
  store.setItem = () => {
    throw new Error("full");
  };
  keepSteps(store, DESK, "7", NOTHING);
  assert.equal(store.held.size, 0);
});

test("letters typed in one go are one deed, from the first state to the last; what is gathered is told whole", () => {
  const history = new History();
  const typed = (before, after) => ({ ...step(after), typed: "greeting", deeds: [{ kind: "written", before, after }] });
  history.did(typed("", "H"));
  history.did(typed("H", "Hi"));
  assert.deepEqual(history.told().done[0].deeds, [{ kind: "written", before: "", after: "Hi" }]);
  history.as("both", {}, () => ["a", "b"].forEach((words) => history.did(step(words))));
  assert.deepEqual(
    history.told().done[1].deeds.map((deed) => deed.after),
    ["a", "b"],
  );
});

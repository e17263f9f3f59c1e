// What the desk could not send belongs to one account: counted, erased and left alone by the name in its key.
import assert from "node:assert/strict";
import { test } from "node:test";
import { deskKey, forgetOld, forgetUnsent, hasOthers, unsentOf } from "../../../../static/js/unsent.js";

const DAY = 24 * 3600 * 1000;
const NOW = 1_800_000_000_000;

/** As localStorage: its keys are properties. */
function shelf(held) {
  const methods = {
    getItem: (key) => (Object.hasOwn(it, key) ? it[key] : null),
    setItem: (key, value) => void (it[key] = value),
    removeItem: (key) => void delete it[key],
  };
  const it = Object.create(methods, {});
  return Object.assign(it, held);
}

const kept = (list, at = NOW) => JSON.stringify({ at, list });
const full = () =>
  shelf({
    [`${deskKey("7", "s")}:w`]: kept([1, 2]),
    [`${deskKey("7", "s")}:w:clip`]: kept([3]),
    [`${deskKey("7", "t")}:w`]: kept([4]),
    [`${deskKey("77", "s")}:w`]: kept([5]),
    "desk:s:w": "[6]",
    "desk-sound": "on",
  });

test("one's own is counted, and at which desks it lies", () => {
  assert.deepEqual(unsentOf(full(), "7"), { count: 4, submissions: ["s", "t"] });
  assert.deepEqual(unsentOf(full(), "8"), { count: 0, submissions: [] });
});

test("signing out takes one's own and what is nobody's, and leaves another's and the settings", () => {
  const store = full();
  assert.ok(hasOthers(store, "7"));
  forgetUnsent(store, "7");
  assert.deepEqual(Object.keys(store).sort(), ["desk-sound", "desk:77:s:w"]);
  forgetUnsent(store, "77");
  assert.ok(!hasOthers(store, "77"));
  assert.deepEqual(Object.keys(store), ["desk-sound"]);
});

test("another's goes after four weeks, one's own stays, and what has no time gets one", () => {
  const store = full();
  forgetOld(store, "7", NOW + 27 * DAY);
  assert.equal(Object.keys(store).length, 6);
  assert.deepEqual(JSON.parse(store["desk:s:w"]), { at: NOW + 27 * DAY, list: [6] });
  forgetOld(store, "7", NOW + 29 * DAY);
  assert.deepEqual(
    Object.keys(store).filter((key) => key.startsWith("desk:7:")).length,
    3,
    "whoever comes back late finds their own",
  );
  assert.ok(!("desk:77:s:w" in store));
  forgetOld(store, "", NOW + 60 * DAY); // nobody is signed in
  assert.deepEqual(Object.keys(store), ["desk-sound"]);
});

test("rubbish under a desk's key goes and stops nothing", () => {
  const store = shelf({ "desk:9:s:w": "{", "desk:9:s:v": "null", "desk:7:s:w": "{" });
  assert.deepEqual(unsentOf(store, "7"), { count: 0, submissions: ["s"] });
  forgetOld(store, "7", NOW);
  assert.ok(!("desk:9:s:v" in store));
});

// Every window keeps under a key of its own; what a dead one left is taken over, a living one is left alone.
import assert from "node:assert/strict";
import { test } from "node:test";
import { adopt, nameless, ownKey } from "../../../../static/js/desk/windows.js";

/** As localStorage: its keys are properties. */
function shelf(held = {}) {
  const methods = {
    getItem: (key) => (Object.hasOwn(it, key) ? it[key] : null),
    setItem: (key, value) => void (it[key] = value),
    removeItem: (key) => void delete it[key],
  };
  const it = Object.create(methods, {});
  return Object.assign(it, held);
}

/** What is kept under a key, without its time. */
const kept = (store, key) => JSON.parse(store[key]).list;

/** As navigator.locks, with the windows that live. */
const locks = (living) => ({
  request: async (name, options, act) =>
    typeof options === "object" ? act(living.has(name) ? null : {}) : void living.add(name),
});

test("what a dead window left is under the new key, and only there", async () => {
  const store = shelf({
    "desk:s:dead": '[{"name":"a"}]',
    "desk:s:dead:clip": '[["instantAt"]]',
    "desk:other:x": "[1]",
    theme: "dark",
  });
  const living = new Set();
  const { key } = await ownKey("desk:s", store, shelf(), locks(living));
  assert.deepEqual(Object.keys(store).sort(), [key, `${key}:clip`, "desk:other:x", "theme"].sort());
  assert.deepEqual(kept(store, key), [{ name: "a" }]);
  assert.ok(living.has(key));
});

test("a living window keeps its own", async () => {
  const store = shelf({ "desk:s:lives": "[1]", "desk:s:dead": "[2]", "desk:s": "[3]" });
  const { key } = await ownKey("desk:s", store, shelf(), locks(new Set(["desk:s:lives"])));
  assert.equal(store["desk:s:lives"], "[1]");
  assert.deepEqual(kept(store, key).sort(), [2, 3], "and what was kept before windows had keys of their own");
});

test("a window that is loaded again waits for the one it was", async () => {
  const living = new Set(["desk:s:former"]);
  const store = shelf({ "desk:s:former": "[1]" });
  setTimeout(() => living.delete("desk:s:former"), 120);
  const { key } = await ownKey("desk:s", store, shelf({ "desk-window": "desk:s:former" }), locks(living));
  assert.deepEqual(kept(store, key), [1]);
});

test("where the browser has no locks, nothing is left behind", async () => {
  const store = shelf({ "desk:s:dead": "[1]" });
  const { key } = await ownKey("desk:s", store, shelf(), undefined);
  assert.deepEqual(kept(store, key), [1]);
});

test("a full store takes nothing away from the window before", async () => {
  const store = shelf({ "desk:s:dead": "[1]" });
  Object.defineProperty(store, "setItem", {
    value: () => {
      throw new Error("full");
    },
  });
  await ownKey("desk:s", store, shelf(), locks(new Set()));
  assert.equal(store["desk:s:dead"], "[1]");
});

test("a window goes on for those that are gone, and for what they went on for; never for one that lives", async () => {
  const store = shelf({ "desk:s:gone": "[1]", "desk:s:lives": "[2]" });
  const session = shelf({ "desk-window": "desk:s:former desk:s:first desk:other:x" });
  const { key, name, follows } = await ownKey("desk:s", store, session, locks(new Set(["desk:s:lives"])));
  assert.equal(key, `desk:s:${name}`);
  assert.deepEqual(follows, ["former", "first", "gone"]);
  assert.deepEqual(session["desk-window"].split(" "), [key, "desk:s:former", "desk:s:first", "desk:s:gone"]);
});

test("a copy of a tab goes on for nobody while the tab lives", async () => {
  const session = shelf({ "desk-window": "desk:s:lives desk:s:first" });
  const { follows } = await ownKey("desk:s", shelf(), session, locks(new Set(["desk:s:lives"])));
  assert.deepEqual(follows, []);
});

test("without locks a window goes on for the one it was before a reload alone", async () => {
  const store = shelf({ "desk:s:other": "[1]" });
  const session = () => shelf({ "desk-window": "desk:s:former" });
  assert.deepEqual((await ownKey("desk:s", store, session(), undefined, true)).follows, ["former"]);
  assert.deepEqual((await ownKey("desk:s", store, session(), undefined, false)).follows, []);
});

test("what names no account is left alone till a coach says that it is theirs", async () => {
  const store = shelf({ "desk:s:dead": "[1]", "desk:s:dead:clip": "[2]", "desk:s": "[3]", "desk:s:lives": "[4]" });
  const held = locks(new Set(["desk:s:lives"]));
  const { key } = await ownKey("desk:7:s", store, shelf(), held);
  assert.equal(store[key], undefined);
  const keys = await nameless("desk:s", store, held);
  assert.deepEqual(keys.sort(), ["desk:s", "desk:s:dead", "desk:s:dead:clip"]);
  adopt(keys, "desk:s", "desk:7:s", store);
  assert.deepEqual(Object.keys(store).sort(), ["desk:7:s", "desk:7:s:dead", "desk:7:s:dead:clip", "desk:s:lives"]);
  const own = await ownKey("desk:7:s", store, shelf(), held);
  assert.deepEqual(kept(store, own.key).sort(), [1, 3]);
  assert.deepEqual(kept(store, `${own.key}:clip`), [2]);
});

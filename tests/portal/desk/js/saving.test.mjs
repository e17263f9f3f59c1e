// Save as you go: order, versions, broken lines, other windows, and what is left over.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Pending } from "../../../../static/js/desk/pending.js";
import { Saving } from "../../../../static/js/desk/saving.js";

class Shelf {
  held = new Map();
  getItem = (key) => this.held.get(key) ?? null;
  setItem = (key, value) => void this.held.set(key, value);
  removeItem = (key) => void this.held.delete(key);
}

/** A server with a version guard and a memory of the last token, as portal/desk/drafts.py has it. */
function server() {
  const it = { version: 5, last: "", made: [], fail: [], sent: [] };
  it.fetcher = async (url, { body }) => {
    const said = JSON.parse(body);
    it.sent.push(said);
    const failure = it.fail.shift();
    if (failure === "before") throw new TypeError("line broken");
    if (typeof failure === "number") return Response.json({ words: "no" }, { status: failure });
    if (said.version === it.version - 1 && said.change === it.last) return Response.json({ version: it.version });
    if (said.version !== it.version) return Response.json({ words: "elsewhere", code: "stale" }, { status: 409 });
    it.version++;
    it.last = said.change;
    it.made.push([url, said]);
    if (failure === "after") throw new TypeError("answer lost");
    return Response.json({ version: it.version });
  };
  return it;
}

let tokens = 0;
const desk = (it, shelf = new Shelf()) => {
  const saving = new Saving(
    new Pending(shelf, "k", () => `t${++tokens}`),
    { draft: "/draft", rating: "/rating" },
    5,
    it.fetcher,
    () => "csrf",
  );
  return { saving, shelf };
};

test("changes go out one after the other, each on top of the last answer", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  saving.put("a", "draft", { greeting: "1" });
  saving.put("b", "rating", { rate: "good" });
  assert.equal(await saving.settled(), true);
  assert.deepEqual(
    it.made.map(([url, said]) => [url, said.version]),
    [
      ["/draft", 5],
      ["/rating", 6],
    ],
  );
  assert.equal(saving.state, "saved");
  assert.equal(shelf.getItem("k"), null);
});

test("while one is under way, newer changes of one thing become one", async () => {
  const it = server();
  const { saving } = desk(it);
  for (const greeting of ["H", "Hi", "Hi I", "Hi Ida"]) saving.put("draft:greeting", "draft", { greeting });
  await saving.settled();
  assert.deepEqual(
    it.made.map(([, said]) => said.greeting),
    ["H", "Hi Ida"],
  );
});

test("a disk that is full keeps everything, says so in the site's words and is tried again", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  it.fail.push(507);
  saving.put("a", "draft", { greeting: "Hi" });
  assert.equal(await saving.settled(), false);
  assert.deepEqual([saving.state, saving.words], ["full", "no"]);
  assert.match(shelf.getItem("k"), /Hi/);
  saving.go();
  assert.equal(await saving.settled(), true);
  assert.deepEqual(
    it.made.map(([, said]) => said.greeting),
    ["Hi"],
  );
});

test("a broken line keeps everything and is tried again", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  it.fail = ["before"];
  saving.put("a", "draft", { greeting: "kept" });
  assert.equal(await saving.settled(), false);
  assert.equal(saving.state, "trying");
  assert.equal(JSON.parse(shelf.getItem("k"))[0].body.greeting, "kept");
  saving.go(); // as the timer and the "online" event do
  await saving.sending;
  clearTimeout(saving.timer);
  assert.equal(saving.state, "saved");
  assert.equal(it.made.length, 1);
});

test("a change whose answer was lost is not made twice and counts as saved", async () => {
  const it = server();
  const { saving } = desk(it);
  it.fail = ["after"];
  saving.put("a", "draft", { greeting: "once" });
  await saving.settled();
  saving.go();
  await saving.sending;
  clearTimeout(saving.timer);
  assert.deepEqual([it.made.length, it.sent.length, saving.version, saving.state], [1, 2, 6, "saved"]);
  assert.equal(it.sent[0].change, it.sent[1].change);
});

test("being signed out waits instead of losing", async () => {
  const it = server();
  const { saving } = desk(it);
  it.fail = [401];
  saving.put("a", "draft", {});
  await saving.settled();
  clearTimeout(saving.timer);
  assert.equal(saving.state, "signed_out");
  assert.equal(saving.isClean, false);
});

test("a change from another window stops this one, and keeps what was written", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  it.version = 9;
  saving.put("a", "draft", { greeting: "mine" });
  await saving.settled();
  assert.deepEqual([saving.state, saving.words, it.made.length], ["stopped", "elsewhere", 0]);
  saving.put("b", "rating", { rate: "good" });
  assert.equal(it.sent.length, 1);
  assert.deepEqual(
    JSON.parse(shelf.getItem("k")).map((item) => item.name),
    ["a", "b"],
  );
});

test("what cannot be taken is said, and the rest goes on", async () => {
  const it = server();
  const { saving } = desk(it);
  it.fail = [400];
  let refused = "";
  saving.addEventListener("refused", () => (refused = saving.words));
  saving.put("a", "draft", { good: "wrong" });
  saving.put("b", "rating", { rate: "good" });
  assert.equal(await saving.settled(), true);
  assert.deepEqual([refused, it.made.length], ["no", 1]);
});

test("what is left over is found again, and rubbish in the store is not", () => {
  const shelf = new Shelf();
  const before = new Pending(shelf, "k", () => "t");
  before.put("a", "draft", { greeting: "left" }, "");
  before.take();
  before.put("b", "rating", {}, null);
  assert.deepEqual(
    new Pending(shelf, "k", () => "t").leftOver().map((item) => item.name),
    ["a", "b"],
  );
  shelf.setItem("k", "{no json");
  assert.deepEqual(new Pending(shelf, "k", () => "t").leftOver(), []);
});

test("a full or forbidden store does not stop the saving", () => {
  const shelf = {
    getItem: () => null,
    setItem: () => {
      throw new Error("full");
    },
    removeItem() {},
  };
  const pending = new Pending(shelf, "k", () => "t");
  pending.put("a", "draft", {}, null);
  assert.equal(pending.count, 1);
});

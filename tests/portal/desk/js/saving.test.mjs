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

/**
 * A server with a version guard and a memory of tokens, as portal/desk/drafts.py has it. A promise among `it.fail` is
 * waited for before the change is made.
 */
function server() {
  const it = { version: 5, tokens: new Map(), made: [], fail: [], sent: [], alive: [] };
  const make = (url, said) => {
    if (it.tokens.has(said.change)) return;
    it.version++;
    it.tokens.set(said.change, it.version);
    it.made.push([url, said]);
  };
  it.fetcher = async (url, { body, keepalive }) => {
    const said = JSON.parse(body);
    it.sent.push(said);
    it.alive.push(keepalive);
    const failure = it.fail.shift();
    if (failure === "before") throw new TypeError("line broken");
    if (typeof failure === "number") return Response.json({ words: "no" }, { status: failure });
    if (failure === "strange") return new Response("<h1>Bad Request</h1>", { status: 400 });
    if (failure instanceof Promise) await failure;
    const isTwin = it.tokens.has(said.change);
    const isOwn = said.window === it.window && said.version <= it.version;
    if (!isTwin && !isOwn && said.version !== it.version)
      return Response.json({ words: "elsewhere", code: "stale" }, { status: 409 });
    for (const one of said.changes ?? [said]) if (!it.refuses?.(one)) make(url, one);
    it.window = said.window;
    if (failure === "after") throw new TypeError("answer lost");
    if (failure === "torn") return new Response('{"vers');
    const refused = said.changes?.filter((one) => it.refuses?.(one)).map((one) => one.change);
    return Response.json({ version: it.tokens.get(said.change) ?? it.version, refused });
  };
  return it;
}

let tokens = 0;
const desk = (it, shelf = new Shelf()) => {
  const saving = new Saving(
    new Pending(shelf, "k", () => `t${++tokens}`),
    { draft: "/draft", rating: "/rating", changes: "/changes" },
    5,
    { name: "w", follows: ["v"] },
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
  assert.equal(JSON.parse(shelf.getItem("k")).list[0].body.greeting, "kept");
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

test("an answer that broke off counts as none, and what comes behind it names a version all the same", async () => {
  const it = server();
  const { saving } = desk(it);
  it.fail = ["torn"];
  saving.put("a", "draft", { greeting: "H" });
  saving.put("a", "draft", { greeting: "Hi" });
  assert.equal(await saving.settled(), false);
  assert.deepEqual([saving.state, saving.version, saving.pending.count], ["trying", 5, 2]);
  saving.go();
  assert.equal(await saving.settled(), true);
  assert.deepEqual(
    it.made.map(([, said]) => [said.greeting, said.version]),
    [
      ["H", 5],
      ["Hi", 6],
    ],
  );
});

test("words that something on the way refused, not the site, are kept and sent again", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  it.fail = ["strange"];
  saving.put("a", "draft", { greeting: "Hi" });
  assert.equal(await saving.settled(), false);
  assert.match(shelf.getItem("k"), /Hi/);
  saving.go();
  assert.equal(await saving.settled(), true);
  assert.equal(it.made.length, 1);
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
    JSON.parse(shelf.getItem("k")).list.map((item) => item.name),
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

/** A promise, and how it is kept. */
function gate() {
  let open = () => {};
  const closed = new Promise((go) => (open = go));
  return { closed, open };
}

const soon = () => new Promise((go) => setTimeout(go, 5));
const greetings = (it) => it.made.map(([, said]) => said.greeting);

test("every change says which window it is, and which it goes on for", async () => {
  const it = server();
  const { saving } = desk(it);
  saving.put("a", "draft", { greeting: "Hi" });
  await saving.settled();
  assert.deepEqual([it.sent[0].window, it.sent[0].follows], ["w", ["v"]]);
});

test("a window that goes while a save is under way sends all, in order, whichever arrives first", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  const line = gate();
  it.fail = [line.closed];
  saving.put("a", "draft", { greeting: "Hel" });
  saving.put("a", "draft", { greeting: "Hello" });
  saving.put("b", "draft", { greeting: "more" });
  saving.flush();
  await soon();
  assert.deepEqual(greetings(it), ["Hel", "Hello", "more"], "the one under way is late");
  line.open();
  assert.equal(await saving.settled(), true);
  assert.deepEqual(greetings(it), ["Hel", "Hello", "more"], "and is not made again");
  assert.deepEqual([it.sent.length, shelf.getItem("k")], [2, null]);
  assert.ok(it.alive.every(Boolean));
});

test("what is typed after the page came back overtakes nothing that went out when it seemed to go", async () => {
  const it = server();
  const { saving } = desk(it);
  const [line, slow] = [gate(), gate()];
  it.fail = [line.closed, slow.closed];
  saving.put("a", "draft", { greeting: "1" });
  saving.put("a", "draft", { greeting: "1 2" });
  saving.flush();
  saving.put("a", "draft", { greeting: "1 2 3" });
  line.open();
  await soon();
  assert.equal(it.sent.length, 2, "it waits");
  slow.open();
  await saving.settled();
  assert.deepEqual(greetings(it), ["1", "1 2", "1 2 3"]);
});

test("a window that seems to go twice sends what it sent the first time as well", async () => {
  const it = server();
  const { saving } = desk(it);
  const slow = [gate(), gate()];
  it.fail = slow.map((one) => one.closed);
  saving.put("a", "draft", { greeting: "1" });
  saving.put("a", "draft", { greeting: "1 2" });
  saving.flush();
  saving.put("a", "draft", { greeting: "1 2 3" });
  saving.flush();
  await soon();
  slow[1].open();
  await soon();
  assert.deepEqual(greetings(it), ["1", "1 2", "1 2 3"]);
  slow[0].open();
  await saving.settled();
  assert.deepEqual(greetings(it), ["1", "1 2", "1 2 3"]);
});

test("what is refused among all is sent again by itself and told", async () => {
  const it = server();
  it.refuses = (one) => one.greeting === "odd";
  const { saving } = desk(it);
  const line = gate();
  it.fail = [line.closed, undefined, 400];
  saving.put("a", "draft", { greeting: "1" });
  saving.put("b", "draft", { greeting: "odd" });
  saving.put("c", "draft", { greeting: "3" });
  let told = "";
  saving.addEventListener("refused", ({ detail }) => (told = detail));
  saving.flush();
  await soon();
  line.open();
  await saving.settled();
  assert.deepEqual([greetings(it), told], [["1", "3"], "no"]);
});

test("all that goes at once stays below what a browser sends for a page that goes; the rest is kept", async () => {
  const it = server();
  const { saving, shelf } = desk(it);
  const line = gate();
  it.fail = [line.closed];
  const long = "ñ".repeat(12_000); // two bytes each
  for (const name of ["a", "b", "c", "d"]) saving.put(name, "draft", { greeting: name + long });
  saving.flush();
  await soon();
  const bytes = it.sent.map((said) => new TextEncoder().encode(JSON.stringify(said)).length);
  assert.ok(bytes[0] + (bytes[1] ?? 0) < 64 * 1024, `${bytes}`);
  assert.match(shelf.getItem("k"), /dñ/);
  line.open();
  await saving.settled();
  assert.deepEqual(
    greetings(it).map((words) => words[0]),
    ["a", "b", "c", "d"],
  );
});

test("more than a browser promises to send is sent all the same while the page stays", async () => {
  const it = server();
  const { saving } = desk(it);
  saving.put("a", "draft", { greeting: "ñ".repeat(40_000) });
  assert.equal(await saving.settled(), true);
  assert.deepEqual(it.alive, [false]);
});

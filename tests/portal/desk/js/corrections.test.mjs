// What is moved by hand on a broken line: kept, sent again, and made on top of what another window moved.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Correcting } from "../../../../static/js/desk/corrections.js";
import { batAt, instantAt, keypointAt, moveOf, plateAt, swingAdded } from "../../../../static/js/desk/moves.js";

class Shelf {
  held = new Map();
  getItem = (key) => this.held.get(key) ?? null;
  setItem = (key, value) => void this.held.set(key, value);
  removeItem = (key) => void this.held.delete(key);
}

/** A server that keeps all corrections together under a version, as portal/measuring/corrections.py does. */
function server() {
  const it = { version: 3, corrections: {}, fail: [], sent: 0 };
  it.fetcher = async (_url, { body }) => {
    const { version, corrections, unanswered = [] } = JSON.parse(body);
    it.sent++;
    const failure = await it.fail.shift(); // a promise: it is long on its way
    if (failure === "before") throw new TypeError("line broken");
    if (typeof failure === "number") return Response.json({ words: "no" }, { status: failure });
    const ahead = it.version - version;
    const own = unanswered.slice(Math.max(0, ahead - 1)).map((one) => JSON.stringify(one));
    const isOwn = ahead > 0 && own.includes(JSON.stringify(it.corrections));
    if (version !== it.version && !isOwn)
      return Response.json({ words: "elsewhere", version: it.version, corrections: it.corrections }, { status: 409 });
    [it.version, it.corrections] = [it.version + 1, corrections];
    if (failure === "after") throw new TypeError("answer lost");
    if (failure === "torn") return new Response('{"vers');
    return Response.json({ version: it.version, corrections });
  };
  return it;
}

const hand = (it, shelf = new Shelf()) =>
  new Correcting("/correct", it.corrections, it.version, shelf, "k", it.fetcher, () => "csrf");
const knee = { frame: 7, keypoint: 25, x: 1, y: 2 };
const again = async (correcting) => {
  clearTimeout(correcting.timer);
  correcting.state = "saving"; // as the timer and the "online" event do
  correcting.go();
  await correcting.sending;
  clearTimeout(correcting.timer);
};

test("an answer that broke off takes no correction away", async () => {
  const it = server();
  const correcting = hand(it);
  it.fail = ["torn"];
  correcting.make(keypointAt(7, 25, [1, 2]));
  assert.equal(await correcting.settled(), false);
  assert.deepEqual([correcting.version, correcting.now], [3, { keypoints: [knee] }]);
  await again(correcting);
  assert.deepEqual([correcting.state, correcting.isClean, it.corrections], ["saved", true, { keypoints: [knee] }]);
});

test("while the line is down everything is kept, and the next window makes it", async () => {
  const it = server();
  const shelf = new Shelf();
  const first = hand(it, shelf);
  it.fail = Array(9).fill("before");
  first.make(keypointAt(7, 25, [1, 2]));
  assert.equal(await first.settled(), false);
  first.make(batAt(7, [1, 1], [2, 2]));
  first.make(plateAt([[0, 0]]));
  first.make(instantAt(0, "contact", 9));
  await first.sending;
  clearTimeout(first.timer);
  assert.deepEqual([first.state, it.corrections], ["trying", {}]);
  it.fail = [];
  const next = hand(it, shelf);
  assert.equal(next.leftOver, 4);
  next.go();
  assert.equal(await next.settled(), true);
  assert.deepEqual(it.corrections, {
    keypoints: [knee],
    bat: [{ frame: 7, knob: [1, 1], barrel: [2, 2] }],
    plate: [[0, 0]],
    instants: { 0: { contact: 9 } },
  });
  assert.equal(shelf.held.size, 0);
});

test("it is made again on top of what another window moved", async () => {
  const it = server();
  const mine = hand(it);
  [it.version, it.corrections] = [8, { hand: "left", keypoints: [{ ...knee, frame: 3 }] }];
  mine.make(keypointAt(7, 25, [1, 2]));
  assert.equal(await mine.settled(), true);
  assert.deepEqual(it.corrections, { hand: "left", keypoints: [{ ...knee, frame: 3 }, knee] });
});

test("a window that is always too late is tried again and drops nothing", async () => {
  const it = server();
  const mine = hand(it);
  const { fetcher } = mine;
  mine.fetcher = async (...given) => {
    it.version++; // another window, always a little quicker
    return fetcher(...given);
  };
  mine.make(keypointAt(7, 25, [1, 2]));
  assert.equal(await mine.settled(), false);
  mine.fetcher = fetcher;
  await again(mine);
  assert.deepEqual(it.corrections.keypoints, [knee]);
});

test("an answer that was lost adds no swing twice", async () => {
  const it = server();
  const mine = hand(it);
  it.fail = ["after"];
  mine.make(swingAdded(10, 30));
  await mine.settled();
  await again(mine);
  assert.deepEqual(it.corrections.add_swings, [{ start_frame: 10, end_frame: 30 }]);
});

test("what cannot be used is told and does not come back", async () => {
  const it = server();
  const shelf = new Shelf();
  const mine = hand(it, shelf);
  let told = "";
  mine.addEventListener("refused", (event) => (told = event.detail));
  it.fail = [422];
  mine.make(instantAt(0, "contact", 99999));
  assert.equal(await mine.settled(), true);
  assert.deepEqual([told, shelf.held.size, mine.now], ["no", 0, {}]);
});

test("a signed-out coach and a full disk wait", async () => {
  for (const [status, state] of [
    [401, "signed_out"],
    [507, "full"],
  ]) {
    const it = server();
    const mine = hand(it);
    it.fail = [status];
    mine.make(keypointAt(7, 25, [1, 2]));
    assert.equal(await mine.settled(), false);
    assert.equal(mine.state, state);
    await again(mine);
    assert.deepEqual(it.corrections.keypoints, [knee]);
  }
});

test("rubbish in the store is no move", () => {
  for (const odd of [null, "x", [], ["toString"], ["constructor", 1], {}]) assert.equal(moveOf(odd), null);
});

/** A promise, and how it is kept. */
function gate() {
  let open = () => {};
  const closed = new Promise((go) => (open = go));
  return { closed, open };
}

const soon = () => new Promise((go) => setTimeout(go, 5));
const both = { bat: [{ frame: 7, knob: [1, 1], barrel: [2, 2] }], keypoints: [knee] };

/** A window that goes with one correction under way and one behind it. */
function going(it, first, second) {
  it.fail = [first.closed, second.closed];
  const shelf = new Shelf();
  const mine = hand(it, shelf);
  mine.make(keypointAt(7, 25, [1, 2]));
  mine.make(batAt(7, [1, 1], [2, 2]));
  mine.flush();
  return { mine, shelf };
}

for (const [words, order] of [
  ["the one under way arrives first", [0, 1]],
  ["the one under way arrives last", [1, 0]],
]) {
  test(`a window that goes sends what waits behind a correction under way: ${words}`, async () => {
    const it = server();
    const gates = [gate(), gate()];
    const { mine, shelf } = going(it, ...gates);
    await soon();
    assert.equal(it.sent, 2);
    for (const which of order) {
      gates[which].open();
      await soon();
    }
    assert.deepEqual(it.corrections, both);
    assert.equal(await mine.settled(), true);
    assert.deepEqual([it.corrections, mine.corrections, mine.version], [both, both, it.version]);
    assert.deepEqual([it.sent, shelf.held.size], [2, 0], "nothing is sent again");
  });
}

const ORDERS = [
  [0, 1, 2],
  [0, 2, 1],
  [1, 0, 2],
  [1, 2, 0],
  [2, 0, 1],
  [2, 1, 0],
];
for (const order of ORDERS) {
  test(`a page that seems to go twice sends what was moved between: they arrive as ${order}`, async () => {
    const it = server();
    const gates = [gate(), gate(), gate()];
    const { mine, shelf } = going(it, gates[0], gates[1]);
    it.fail[2] = gates[2].closed;
    mine.flush(); // "hidden" and "pagehide" come together
    mine.make(plateAt([[0, 0]]));
    mine.flush();
    mine.flush();
    await soon();
    assert.equal(it.sent, 3, "each once");
    const all = { ...both, plate: [[0, 0]] };
    for (const which of order) {
      gates[which].open();
      await soon();
      if (which === 2) assert.deepEqual(it.corrections, all, "the newest is there as soon as it arrives");
    }
    assert.deepEqual(it.corrections, all, "and no older one undoes it");
    assert.equal(await mine.settled(), true);
    assert.deepEqual([it.sent, mine.corrections, mine.version, shelf.held.size], [3, all, it.version, 0]);
  });
}

test("what was sent beside a request that broke does not hold back what is moved since", async () => {
  const it = server();
  const beside = gate();
  const { mine } = going(it, { closed: "before" }, beside);
  await soon();
  assert.equal(mine.state, "trying");
  mine.make(plateAt([[0, 0]]));
  mine.flush();
  await soon();
  assert.deepEqual(it.corrections, { ...both, plate: [[0, 0]] });
  beside.open();
  clearTimeout(mine.timer);
  assert.equal((await again(mine), mine.isClean), true);
  assert.deepEqual([it.corrections, it.sent], [{ ...both, plate: [[0, 0]] }, 3]);
});

test("what is moved after the page came back goes out behind what went out when it seemed to go", async () => {
  const it = server();
  const gates = [gate(), gate()];
  const { mine } = going(it, ...gates);
  mine.make(plateAt([[0, 0]]));
  gates[0].open();
  await soon();
  assert.equal(it.sent, 2, "it waits");
  gates[1].open();
  assert.equal(await mine.settled(), true);
  assert.deepEqual(it.corrections, { ...both, plate: [[0, 0]] });
});

test("where another window was quicker, what waits is kept and made on top of theirs", async () => {
  const it = server();
  const gates = [gate(), gate()];
  const { mine, shelf } = going(it, ...gates);
  [it.version, it.corrections] = [9, { hand: "left" }];
  gates[1].open();
  await soon();
  assert.deepEqual(it.corrections, { hand: "left" });
  assert.match(shelf.getItem("k"), /batAt/);
  gates[0].open();
  assert.equal(await mine.settled(), true);
  assert.deepEqual(it.corrections, { hand: "left", ...both });
});

test("an answer that a newer one overtook is not gone back to", () => {
  const mine = hand(server());
  mine.take({ version: 9, corrections: both });
  mine.take({ version: 8, corrections: {} });
  assert.deepEqual([mine.version, mine.corrections], [9, both]);
});

test("what arrived though nobody heard so is not sent again by the next window", () => {
  const it = server();
  const shelf = new Shelf();
  shelf.setItem("k", JSON.stringify([["keypointAt", 7, 25, [1, 2]]]));
  it.corrections = { keypoints: [{ y: 2, x: 1, keypoint: 25, frame: 7 }] };
  const next = hand(it, shelf);
  assert.deepEqual([next.leftOver, next.isClean, shelf.held.size], [0, true, 0]);
});

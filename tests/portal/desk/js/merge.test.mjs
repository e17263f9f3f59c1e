// What was not saved is put on top of what another window wrote; no word of either is lost.
import assert from "node:assert/strict";
import { test } from "node:test";
import { putIn } from "../../../../static/js/desk/merge.js";

const data = () => ({
  clip: { id: "c" },
  draft: { greeting: "theirs", good: ["a", "theirs"], thing_title: "their title" },
  ratings: { knee: { rate: "good", words: "" } },
  markups: [{ frame: 3, shapes: [{ kind: "line" }, { kind: "ring" }] }],
  assignments: [{ drill: "old" }],
});
const item = (kind, body, was) => ({ name: "n", kind, body, was, token: "t" });

test("running words are joined when both were written", () => {
  const now = data();
  const [sent] = putIn(now, [item("draft", { greeting: "mine" }, "before")]);
  assert.equal(now.draft.greeting, "theirs\n\nmine");
  assert.equal(sent.body.greeting, "theirs\n\nmine");
});

test("where nobody else wrote, mine stands alone", () => {
  const now = data();
  putIn(now, [item("draft", { greeting: "theirs, and more" }, "theirs")]);
  assert.equal(now.draft.greeting, "theirs, and more");
  putIn(now, [item("draft", { thing_title: "mine" }, "x")]);
  assert.equal(now.draft.thing_title, "mine");
});

test("of two windows each adds a clip that is sent lighter, and both are", () => {
  const now = data();
  now.draft.lighter_clips = ["first"];
  putIn(now, [item("draft", { lighter_clips: ["second"] }, [])]);
  assert.deepEqual(now.draft.lighter_clips, ["second", "first"]);
});

test("good things of both are kept, and what I took out stays out", () => {
  const now = data();
  putIn(now, [item("draft", { good: ["mine"] }, ["a"])]);
  assert.deepEqual(now.draft.good, ["mine", "theirs"]);
});

test("drawings of one frame are joined", () => {
  const now = data();
  const [sent] = putIn(now, [
    item("markup", { clip: "c", frame: 3, shapes: [{ kind: "arrow" }] }, { shapes: [{ kind: "line" }] }),
  ]);
  assert.deepEqual(
    sent.body.shapes.map((shape) => shape.kind),
    ["arrow", "ring"],
  );
});

test("a stroke that came back from the site in its own order of fields, trimmed, is no other stroke", () => {
  const now = data();
  now.markups = [{ frame: 3, shapes: [{ text: "stay", kind: "words", tone: "seen", points: [[1, 2.5]] }] }];
  const was = { shapes: [{ kind: "words", tone: "seen", points: [[1, 2.5]], text: "stay " }] };
  const shapes = [{ kind: "words", tone: "seen", points: [[1, 2.5]], text: "stay closed" }];
  const [sent] = putIn(now, [item("markup", { clip: "c", frame: 3, shapes }, was)]);
  assert.deepEqual(sent.body.shapes, shapes);
});

test("words that came back from the site trimmed are not somebody else's", () => {
  const now = data();
  now.draft.greeting = "Hi there";
  putIn(now, [item("draft", { greeting: "Hi" }, "Hi there ")]);
  assert.equal(now.draft.greeting, "Hi");
});

test("ratings and drills are the newer choice", () => {
  const now = data();
  putIn(now, [
    item("rating", { checkpoint: "knee", rate: "", words: "" }),
    item("rating", { checkpoint: "hip", rate: "watch", words: "w" }),
    item("assignment", { drill: "old", remove: true }),
    item("assignment", { drill: "new" }),
  ]);
  assert.deepEqual(Object.keys(now.ratings), ["hip"]);
  assert.deepEqual(
    now.assignments.map((one) => one.drill),
    ["new"],
  );
});

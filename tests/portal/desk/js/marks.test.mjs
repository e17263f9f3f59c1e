// Strokes and what they tell; corrections as functions; the plan's order; the keys.
import assert from "node:assert/strict";
import { test } from "node:test";
import { find } from "../../../../static/js/desk/keys.js";
import { keyTable } from "../../../../static/js/desk/key_table.js";
import { around } from "../../../../static/js/desk/limbs.js";
import { Marks } from "../../../../static/js/desk/marks.js";
import { batAt, filmIs, frameBack, instantAt, keypointAt } from "../../../../static/js/desk/moves.js";
import { sorted } from "../../../../static/js/desk/plan.js";
import { pathOf } from "../../../../static/js/desk/traces.js";

const shape = (kind) => ({
  kind,
  tone: "seen",
  points: [
    [0, 0],
    [1, 1],
  ],
});

test("what is done tells the frames as they were and as they are", () => {
  const marks = new Marks([]);
  const done = [];
  marks.addEventListener("done", (event) => done.push(event.detail));
  marks.draw(3, [shape("line")]);
  marks.draw(3, [shape("line"), shape("ring")]);
  marks.draw(3, []);
  assert.deepEqual(
    done.map(({ words }) => words),
    ["did_stroke", "did_stroke", "did_delete"],
  );
  const put = (all) => all.forEach(([frame, fields]) => marks.set(frame, fields));
  put(done[2].before);
  put(done[1].before);
  assert.deepEqual(
    marks.at(3).shapes.map((one) => one.kind),
    ["line"],
  );
  put(done[1].after);
  assert.equal(marks.at(3).shapes.length, 2);
  assert.equal(done.length, 3, "going back is nothing new");
});

test("a picture that loses its place beside the one thing has it back", () => {
  const marks = new Marks([{ ...new Marks([]).at(2), for_thing: true }]);
  let done;
  marks.addEventListener("done", (event) => (done = event.detail));
  marks.change(5, { for_thing: true }, "did_picture");
  for (const [frame, fields] of done.before) marks.set(frame, fields);
  assert.deepEqual([marks.at(2).for_thing, marks.at(5).for_thing], [true, false]);
});

test("one picture stands beside the one thing", () => {
  const marks = new Marks([{ ...new Marks([]).at(2), for_thing: true }]);
  marks.set(5, { for_thing: true });
  assert.deepEqual([marks.at(2).for_thing, marks.at(5).for_thing], [false, true]);
});

test("an instant is put in place and given back, other swings untouched", () => {
  const before = { instants: { 1: { load: 4 } }, view: "chest_side" };
  const put = instantAt(0, "contact", 62)(before);
  assert.deepEqual(put, { view: "chest_side", instants: { 0: { contact: 62 }, 1: { load: 4 } } });
  assert.deepEqual(instantAt(0, "contact", null)(put), before);
  assert.deepEqual(before, { instants: { 1: { load: 4 } }, view: "chest_side" });
});

test("a point moved twice stands at its last place, and a frame can be given back", () => {
  const twice = keypointAt(7, 25, [5, 6.04])(keypointAt(7, 25, [1, 2])({}));
  assert.deepEqual(twice.keypoints, [{ frame: 7, keypoint: 25, x: 5, y: 6 }]);
  const bat = batAt(8, [0, 0], [9, 9])(twice);
  assert.deepEqual(frameBack(7)(bat), { keypoints: [], bat: [{ frame: 8, knob: [0, 0], barrel: [9, 9] }] });
  assert.deepEqual(filmIs({ hand: "left" })({ view: "back_side" }), { view: "back_side", hand: "left" });
});

const KEYS = keyTable(
  new Proxy({}, { get: (_t, name) => String(name) }),
  new Proxy({}, { get: (_t, name) => () => name }),
);
const press = (key, more = {}) => ({ key, ctrlKey: false, metaKey: false, altKey: false, shiftKey: false, ...more });
const inside = (selector) => ({
  closest: (asked) =>
    asked.split(", ").some((one) => one === selector || one.startsWith(`${selector}:not`)) ? {} : null,
});

test("modifier keys are left alone, Shift means ten frames", () => {
  assert.equal(find(KEYS, press("g", { ctrlKey: true }), null), undefined);
  assert.equal(find(KEYS, press("g", { metaKey: true }), null), undefined);
  assert.equal(find(KEYS, press("ArrowLeft", { altKey: true }), null), undefined);
  assert.equal(find(KEYS, press("ArrowRight"), null).words, "key_forward");
  assert.equal(find(KEYS, press("ArrowRight", { shiftKey: true }), null).words, "key_forward_ten");
  assert.equal(find(KEYS, press("Z", { shiftKey: true }), null).words, "key_redo");
});

test("no key fires while somebody writes, and buttons keep Enter and Space", () => {
  for (const key of ["g", "ArrowLeft", "Enter", "Delete"])
    assert.equal(find(KEYS, press(key), inside("textarea")), undefined);
  assert.equal(find(KEYS, press("Enter"), inside("button")), undefined);
  assert.equal(find(KEYS, press(" "), inside("button")), undefined);
  assert.ok(find(KEYS, press("ArrowLeft"), inside("button")));
});

test("a button or box that was clicked keeps no key; an open list does", () => {
  const clicked = (key, where) => find(KEYS, press(key), inside(where), true, true);
  for (const where of ["button", "a", "summary", "select", "label"]) {
    assert.equal(clicked("Enter", where).words, "key_next");
    assert.equal(clicked(" ", where).words, "key_play");
    assert.equal(clicked("g", where).words, "key_good");
  }
  assert.equal(clicked("ArrowDown", "input[type=radio]").words, "key_down");
  assert.equal(clicked("g", "textarea"), undefined);
  assert.equal(clicked("g", "select:open"), undefined);
  assert.equal(find(KEYS, press("g"), inside("select")), undefined, "by the keyboard a list keeps its letters");
});

test("Ctrl Enter goes on, also out of a text field; Ctrl z undoes, but never there", () => {
  for (const how of ["ctrlKey", "metaKey"]) {
    assert.equal(find(KEYS, press("Enter", { [how]: true }), inside("textarea")).words, "key_next_writing");
    assert.equal(find(KEYS, press("z", { [how]: true }), inside("textarea")), undefined);
    assert.ok(find(KEYS, press("z", { [how]: true }), null));
    assert.notEqual(
      find(KEYS, press("z", { [how]: true }), null),
      find(KEYS, press("Z", { [how]: true, shiftKey: true }), null),
    );
  }
});

test("single keys can be switched off, the others stay", () => {
  assert.equal(find(KEYS, press("g"), null, false), undefined);
  assert.ok(find(KEYS, press("ArrowLeft"), null, false));
  assert.ok(find(KEYS, press("Enter"), null, false));
});

test("no key means two things, and every act it names is one that the desk has", () => {
  const pressed = KEYS.map(({ key, shift, ctrl }) => `${ctrl ? "ctrl" : ""}${shift ?? "*"}${key}`);
  assert.equal(new Set(pressed).size, pressed.length);
});

test("drills that train the one thing stand first, words narrow the list", () => {
  const drill = (title, trains, in_short = "") => ({
    slug: title,
    title,
    trains,
    against: {},
    in_short,
    goal: "",
    set_up: {},
  });
  const aim = (checkpoint) => ({ checkpoint, side: "" });
  const all = [drill("Alpha", []), drill("Zeta", ["knee"], "quiet feet"), drill("Beta", ["hip"])];
  assert.deepEqual(
    sorted(all, "", aim("knee")).map((one) => one.title),
    ["Zeta", "Alpha", "Beta"],
  );
  assert.deepEqual(
    sorted(all, "FEET quiet", aim("")).map((one) => one.title),
    ["Zeta"],
  );
  assert.deepEqual(sorted(all, "ladder", aim("knee")), []);
});

test("a still around the hitter keeps its proportion and stays in the picture", () => {
  const clip = { width: 1280, height: 720 };
  for (const box of [[600, 200, 700, 600], [0, 0, 50, 90], [1200, 500, 1280, 720], [100, 0, 1200, 720], null]) {
    const part = around(box, clip, 44 / 52);
    assert.ok(Math.abs(part.width / part.height - 44 / 52) < 1e-9);
    assert.ok(
      part.x >= 0 &&
        part.y >= 0 &&
        part.x + part.width <= clip.width + 1e-9 &&
        part.y + part.height <= clip.height + 1e-9,
    );
  }
});

test("a trace leaves gaps open and scales by its own greatest", () => {
  assert.equal(pathOf([0, 2, null, 1], 10, 8), "M125.0 10.0L375.0 2.0M875.0 6.0");
});

// Undoing asks of the other parts only what it says it needs: no desk and no page is made here.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Undoing } from "../../../../static/js/desk/undoing.js";

/** Undoing among parts that only note what is asked of them; `said` is the line over the page. */
function among() {
  const said = { textContent: "" };
  globalThis.document = { getElementById: (id) => (id === "said" ? said : null) };
  const asked = [];
  const cards = {
    put: (id, rating) => asked.push(["put", id, rating?.rate ?? ""]),
    point: (id) => ({ id }),
    attend: (point) => asked.push(["attend", point.id]),
  };
  const walk = { stop: "contact", go: (stop) => asked.push(["go", stop]) };
  const messages = {
    did_rating: "{name}: {rate}",
    key_good: "good",
    undid: "Undid: {what}",
    nothing_to_undo: "Nothing.",
  };
  const data = { book: { down_front_knee: { name: "Front knee", instant: "foot_down" } } };
  const undoing = new Undoing({ data, messages, cards, walk, writeUp: null, plan: null, film: null });
  return { undoing, asked, said };
}

test("a rating is taken back where it was given, and it is said", () => {
  const { undoing, asked, said } = among();
  undoing.rated({ id: "down_front_knee", was: undefined, now: { rate: "good", words: "" } });
  undoing.step("undo");
  clearTimeout(undoing.saying);
  assert.deepEqual(asked, [
    ["put", "down_front_knee", ""],
    ["go", "foot_down"],
    ["attend", "down_front_knee"],
  ]);
  assert.equal(said.textContent, "Undid: Front knee: good");
});

test("with nothing done it says so and asks nothing of anybody", () => {
  const { undoing, asked, said } = among();
  undoing.step("undo");
  clearTimeout(undoing.saying);
  assert.deepEqual(asked, []);
  assert.equal(said.textContent, "Nothing.");
});

// Phrases with places: filling, the sentence that is begun, and what is offered.
import assert from "node:assert/strict";
import test from "node:test";

import { begun, filledIn, matching } from "../../../../static/js/desk/places.js";

const filling = (more = {}) => ({ name: "Ida", reading: "62°", drill: "Thin ice", pronoun: "she", ...more });
const phrase = (text, more = {}) => ({ text, part: "", checkpoint: "", side: "", times: 0, ...more });

test("places are filled for he, she and they, verbs with them", () => {
  const text = "{name}: {He} keep{s} {his} head still, {is} balanced and go{es} far. I like {him} {himself}.";
  assert.equal(
    filledIn(text, filling()),
    "Ida: She keeps her head still, is balanced and goes far. I like her herself.",
  );
  assert.equal(
    filledIn(text, filling({ pronoun: "he" })),
    "Ida: He keeps his head still, is balanced and goes far. I like him himself.",
  );
  assert.equal(
    filledIn(text, filling({ pronoun: "they" })),
    "Ida: They keep their head still, are balanced and go far. I like them themself.",
  );
});

test("a phrase whose place has nothing just now is not offered", () => {
  assert.equal(filledIn("Your foot opens {reading}.", filling({ reading: "" })), null);
  assert.equal(filledIn("An odd {place}.", filling()), null);
});

test("what is begun is the sentence before the caret", () => {
  assert.equal(begun("Well done. Your he", 18), "Your he");
  assert.equal(begun("Your he", 7), "Your he");
  assert.equal(begun("A line\nYour", 11), "Your");
  assert.equal(begun("Your head", 4), "");
  assert.equal(begun("Your\nnext line", 4), "Your");
});

test("the start of a phrase comes before words in the middle, its part and kept ones first", () => {
  const all = [
    phrase("Stay on your head.", { times: 3 }),
    phrase("Your head stays.", { times: 2 }),
    phrase("Your hands stay.", { part: "good" }),
  ];
  assert.deepEqual(matching(all, "your", filling(), "good"), [
    "Your hands stay.",
    "Your head stays.",
    "Stay on your head.",
  ]);
  assert.deepEqual(matching(all, "yo he", filling(), "good"), ["Stay on your head.", "Your head stays."]);
  assert.deepEqual(matching(all, "y", filling(), "good"), []);
  assert.deepEqual(matching(all, "head your", filling(), "good"), []);
});

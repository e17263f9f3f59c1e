// Undo of everything, in the order in which it was done.
import assert from "node:assert/strict";
import { test } from "node:test";
import { History } from "../../../../static/js/desk/history.js";

/** A history over one list: every step puts a word there. */
function held() {
  const history = new History();
  const words = [];
  const put = (word, typed) => {
    const before = words.slice();
    words.push(word);
    const after = words.slice();
    const set = (all) => void words.splice(0, words.length, ...all);
    history.did({ words: word, undo: () => set(before), redo: () => set(after), typed });
  };
  return { history, words, put };
}

test("steps of every kind go back in order, are named, and are done again", () => {
  const { history, words, put } = held();
  for (const word of ["rating", "stroke", "contact moved"]) put(word);
  assert.equal(history.undo().words, "contact moved");
  assert.equal(history.undo().words, "stroke");
  assert.deepEqual(words, ["rating"]);
  assert.equal(history.redo().words, "stroke");
  history.redo();
  assert.equal(history.redo(), null);
  assert.deepEqual(words, ["rating", "stroke", "contact moved"]);
});

test("a new step ends what could be done again", () => {
  const { history, put } = held();
  put("a");
  history.undo();
  put("b");
  assert.equal(history.redo(), null);
});

test("letters typed in one go are one step; after the field was left, another", () => {
  const { history, words, put } = held();
  put("H", "greeting");
  put("i", "greeting");
  history.left();
  put("!", "greeting");
  history.undo();
  assert.deepEqual(words, ["H", "i"]);
  history.undo();
  assert.deepEqual(words, []);
  history.redo();
  assert.deepEqual(words, ["H", "i"]);
});

test("what is done together is one step, and an undo makes none", () => {
  const { history, words, put } = held();
  history.as("the one thing", {}, () => ["title", "words", "rating"].forEach((word) => put(word)));
  assert.equal(history.done.length, 1);
  assert.equal(history.undo().words, "the one thing");
  assert.deepEqual(words, []);
  history.done.push({ words: "x", undo: () => put("from undo"), redo: () => {} });
  history.undo();
  assert.equal(history.done.length, 0);
});

// @ts-check
/**
 * All that can be taken back, in the order in which it was done: drawing, points, instants, ratings, words, drills. A
 * step knows how it is undone and done again, how it is called, and where it is seen; as deeds it is data, which is
 * kept over a reload.
 * @typedef {{stop?: string, checkpoint?: string, frame?: number}} Place
 * @typedef {{kind: string, before: any, after: any}} Deed
 * @typedef {{words: string, undo: () => void, redo: () => void, place?: Place, typed?: string, deeds?: Deed[]}} Step
 * `typed` names a field: its letters are one step
 * @typedef {{words: string, place?: Place, deeds: Deed[]}} Told  a step as data
 */

const MOST_STEPS = 300;

export class History {
  constructor() {
    /** @type {Step[]} */
    this.done = [];
    /** @type {Step[]} */
    this.undone = [];
    this.isGoing = false;
    /** @type {Step[]|null} steps that become one */
    this.gathering = null;
  }

  /** @param {Step} step */
  did(step) {
    if (this.isGoing) return; // undo itself is no step
    if (this.gathering) return void this.gathering.push(step);
    this.undone = [];
    const last = this.done.at(-1);
    if (step.typed && last?.typed === step.typed) goOn(last, step);
    else this.done.push(step);
    if (this.done.length > MOST_STEPS) this.done.shift();
  }

  /** A field was left: what is typed in it later is another step. */
  left() {
    const last = this.done.at(-1);
    if (last) last.typed = undefined;
  }

  /**
   * What is done in `act` is one step.
   * @param {string} words
   * @param {Place} place
   * @param {() => void} act
   */
  as(words, place, act) {
    if (this.gathering || this.isGoing) return act();
    /** @type {Step[]} */
    const steps = (this.gathering = []);
    try {
      act();
    } finally {
      this.gathering = null;
    }
    if (!steps.length) return;
    this.did({
      words,
      place,
      undo: () =>
        steps
          .slice()
          .reverse()
          .forEach((step) => step.undo()),
      redo: () => steps.forEach((step) => step.redo()),
      deeds: steps.flatMap((step) => step.deeds ?? []),
    });
  }

  /** Gives back what was undone, or null. */
  undo() {
    return this.go(this.done, this.undone, "undo");
  }

  redo() {
    return this.go(this.undone, this.done, "redo");
  }

  /**
   * @param {Step[]} from
   * @param {Step[]} to
   * @param {"undo"|"redo"} direction
   */
  go(from, to, direction) {
    const step = from.pop();
    if (!step) return null;
    step.typed = undefined;
    this.isGoing = true;
    try {
      step[direction]();
    } finally {
      this.isGoing = false;
    }
    to.push(step);
    return step;
  }

  /** What was done is not what it was: nothing of it can be taken back. */
  forget() {
    [this.done, this.undone] = [[], []];
  }

  /** All steps as data. */
  told() {
    return { done: this.done.map(told), undone: this.undone.map(told) };
  }
}

/**
 * Of letters typed in one go the first state and the last count.
 * @param {Step} step
 * @param {Step} next
 */
function goOn(step, next) {
  step.redo = next.redo;
  if (step.deeds && next.deeds) step.deeds = [{ ...step.deeds[0], after: next.deeds[0].after }];
}

/**
 * @param {Step} step
 * @returns {Told}
 */
const told = ({ words, place, deeds = [] }) => ({ words, place, deeds });

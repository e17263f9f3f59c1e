// @ts-check
/**
 * The hand that is at work. Nothing moves on the page between pressing and letting go: a button that slides away under
 * the pointer is not clicked. What would move it waits with `afterPress`.
 */

const CLICK_MS = 60; // the click of a tap comes a moment after the finger is up

let isDown = false;
let isPointer = false;
/** @type {(() => void)[]} */
let waiting = [];

addEventListener("pointerdown", () => (isDown = isPointer = true), true);
addEventListener("keydown", () => (isPointer = false), true);
for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => setTimeout(letGo, CLICK_MS), true);
addEventListener("blur", letGo);

function letGo() {
  isDown = false;
  const acts = waiting;
  waiting = [];
  for (const act of acts) act();
}

/** Whether the last thing that a hand did was done with a pointer. */
export const byPointer = () => isPointer;

/**
 * At once, or when the pointer is up again and its click is done.
 * @param {() => void} act
 */
export function afterPress(act) {
  if (isDown) waiting.push(act);
  else act();
}

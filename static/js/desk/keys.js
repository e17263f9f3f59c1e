// @ts-check
/**
 * The desk's keys: one table that works and is shown. No single key fires while somebody writes; with Ctrl (on a Mac:
 * Cmd) only what the table says, the rest is the browser's. A button or box that was clicked keeps no key: Enter and
 * Space, arrows and letters stay with it only while it has the focus by the keyboard.
 *
 * @typedef {object} Key
 * @property {string} key
 * @property {string} [shown]
 * @property {boolean} [shift]
 * @property {boolean} [ctrl]
 * @property {boolean} [everywhere]  also while somebody writes
 * @property {string} words
 * @property {string} group
 * @property {() => void} act
 */
const WRITING = "input:not([type=checkbox],[type=radio],[type=button]), textarea, [contenteditable]";
const PRESSED = "button, a, summary, label, input, select";

export class Keys {
  /**
   * @param {Key[]} table
   * @param {() => void} leave  where the focus goes from a text field
   * @param {() => boolean} byPointer  whether a pointer was used last
   */
  constructor(table, leave, byPointer) {
    this.table = table;
    this.byPointer = byPointer;
    this.leave = leave;
    this.singleKeys = true;
    /** Whether the focus came by a pointer. */
    this.isClicked = false;
    this.press = this.press.bind(this);
    this.look = this.look.bind(this);
  }

  enable() {
    document.addEventListener("keydown", this.press); // the same listener twice is one
    for (const event of ["focusin", "pointerdown"]) document.addEventListener(event, this.look, true);
  }

  disable() {
    document.removeEventListener("keydown", this.press);
    for (const event of ["focusin", "pointerdown"]) document.removeEventListener(event, this.look, true);
  }

  /** @param {Event} event */
  look(event) {
    if (event.type === "pointerdown") this.pressed = event.target;
    const focus = event.type === "pointerdown" ? document.activeElement : event.target;
    this.isClicked = this.byPointer() && holds(focus, this.pressed);
  }

  /** @type {EventTarget|null} */
  pressed = null;

  /** @param {KeyboardEvent} event */
  press(event) {
    if (event.defaultPrevented || event.isComposing || document.querySelector("dialog[open]")) return;
    const target = event.target instanceof HTMLElement ? event.target : null;
    if (event.key === "Escape" && target?.closest(WRITING)) {
      event.preventDefault();
      target.blur();
      return this.leave();
    }
    const found = find(this.table, event, target, this.singleKeys, this.isClicked);
    if (!found) return;
    event.preventDefault();
    if (!event.repeat || event.key !== "Enter") found.act(); // a finger that rests on Enter goes one stop on
  }
}

/**
 * Whether a press was on this element or on its label: a screen reader moves the focus without either.
 * @param {EventTarget|null} element
 * @param {EventTarget|null} pressed
 */
function holds(element, pressed) {
  if (!(element instanceof HTMLElement) || !(pressed instanceof Node)) return false;
  const labels =
    element instanceof HTMLInputElement || element instanceof HTMLSelectElement ? [...(element.labels ?? [])] : [];
  return [element, ...labels].some((one) => one.contains(pressed));
}

/**
 * The entry that a key press means, or undefined.
 * @param {Key[]} table
 * @param {{key: string, ctrlKey: boolean, metaKey: boolean, altKey: boolean, shiftKey: boolean}} event
 * @param {Pick<Element, "closest">|null} target
 * @param {boolean} singleKeys  whether keys that write a letter work
 * @param {boolean} isClicked  whether the target has the focus by a pointer
 */
export function find(table, event, target, singleKeys = true, isClicked = false) {
  const isWriting = Boolean(target?.closest(WRITING));
  const withCtrl = event.ctrlKey || event.metaKey;
  const key = withCtrl ? event.key.toLowerCase() : event.key;
  const is = (/** @type {Key} */ one) =>
    (withCtrl ? one.key.toLowerCase() : one.key) === key &&
    Boolean(one.ctrl) === withCtrl &&
    (one.shift === undefined || one.shift === event.shiftKey) &&
    (one.everywhere || !isWriting);
  if (event.altKey) return undefined;
  if (!withCtrl && !isWriting) {
    if (target?.closest(isClicked ? "select:open" : "select")) return undefined;
    if ((event.key === "Enter" || event.key === " ") && !isClicked && target?.closest(PRESSED)) return undefined;
    if (event.key.startsWith("Arrow") && !isClicked && target?.closest("input[type=radio]")) return undefined;
    if (!singleKeys && event.key.length === 1 && event.key !== " ") return undefined;
  }
  return table.find(is);
}

// @ts-check
/**
 * The desk's keys: one table that works and is shown. Modifier keys are left alone (Shift only where the table says so), and
 * no key fires while somebody writes; Enter and Space stay with a button or link that has the focus.
 *
 * @typedef {{key: string, shown?: string, shift?: boolean, words: string, group: string, act: () => void}} Key
 */

const WRITING = "input:not([type=checkbox],[type=radio],[type=button]), textarea, select, [contenteditable]";

export class Keys {
  /** @param {Key[]} table */
  constructor(table) {
    this.table = table;
    this.singleKeys = true;
    this.press = this.press.bind(this);
  }

  enable() {
    document.addEventListener("keydown", this.press); // the same listener twice is one
  }

  disable() {
    document.removeEventListener("keydown", this.press);
  }

  /** @param {KeyboardEvent} event */
  press(event) {
    if (event.defaultPrevented || event.isComposing || document.querySelector("dialog[open]")) return;
    const found = find(this.table, event, event.target instanceof Element ? event.target : null, this.singleKeys);
    if (!found) return;
    event.preventDefault();
    found.act();
  }
}

/**
 * The entry that a key press means, or undefined.
 * @param {Key[]} table
 * @param {{key: string, ctrlKey: boolean, metaKey: boolean, altKey: boolean, shiftKey: boolean}} event
 * @param {Pick<Element, "closest">|null} target @param {boolean} singleKeys  whether keys that write a letter work
 */
export function find(table, event, target, singleKeys = true) {
  if (event.ctrlKey || event.metaKey || event.altKey) return undefined;
  if (target?.closest(WRITING)) return undefined;
  if ((event.key === "Enter" || event.key === " ") && target?.closest("button, a, summary, label, input")) return undefined;
  if (event.key.startsWith("Arrow") && target?.closest("input[type=radio]")) return undefined;
  if (!singleKeys && event.key.length === 1 && event.key !== " ") return undefined;
  return table.find((one) => one.key === event.key && (one.shift === undefined || one.shift === event.shiftKey));
}

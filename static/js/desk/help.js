// @ts-check
/** The overlay of keys, filled from the table that they work by, and the switch for single keys (WCAG 2.1.4). */
import { byId, field, made } from "./page.js";

const STORED = "desk-single-keys";

/** @param {import("./keys.js").Keys} keys */
export function help(keys) {
  const dialog = /** @type {HTMLDialogElement} */ (byId("keys"));
  const groups = new Map(keys.table.map(({ group }) => [group, /** @type {Node[]} */ ([])]));
  for (const { key, shown, words, group } of keys.table) {
    if (shown !== "" && words)
      groups.get(group)?.push(made("dt", {}, made("kbd", { text: shown ?? key })), made("dd", { text: words }));
  }
  byId("keys-list").append(
    ...[...groups].map(([group, lines]) => made("section", {}, made("h3", { text: group }), made("dl", {}, ...lines))),
  );
  const on = field("keys-on");
  on.checked = keys.singleKeys = localStorage.getItem(STORED) !== "off";
  on.addEventListener("change", () => {
    keys.singleKeys = on.checked;
    localStorage.setItem(STORED, on.checked ? "on" : "off");
  });
  const open = () => dialog.showModal();
  byId("keys-open").addEventListener("click", open);
  return open;
}

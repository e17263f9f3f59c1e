// @ts-check
/** The line that says how safe the work is: saved when, still on its way, or why not. */
import { byId, filled, hear, made } from "./page.js";
import { afterPress } from "./press.js";

/**
 * @param {import("./saving.js").Saving} saving
 * @param {import("./corrections.js").Correcting|null} correcting
 * @param {Record<string, string>} messages
 */
export function status(saving, correcting, messages) {
  const line = byId("saved");
  const put = () => {
    const worst = saving.isDown || !correcting?.isDown ? saving : correcting;
    const isReading = correcting !== null && correcting.state === "saving" && !saving.isDown;
    const words = isReading
      ? messages.reading_again
      : state(worst, Math.max(saving.savedAt, correcting?.savedAt ?? 0), messages);
    if (line.textContent !== words) line.textContent = words;
    line.dataset.state = isReading ? "saving" : worst.state;
  };
  const say = () => afterPress(put); // its neighbors in the head make room
  saving.addEventListener("change", () => {
    if (saving.state === "stopped") showStopped(saving, messages);
    say();
  });
  correcting?.addEventListener("change", say);
  saving.addEventListener("refused", () => notice(`${messages.refused} ${saving.words}`));
  if (correcting) hear(correcting, "refused", (why) => notice(`${messages.not_read} ${why}`));
  setInterval(say, 5000);
  say();
}

/**
 * @param {import("./line.js").Line} line
 * @param {number} savedAt
 * @param {Record<string, string>} messages
 */
function state(line, savedAt, messages) {
  if (line.state === "saved") {
    if (!savedAt) return "";
    const seconds = Math.round((Date.now() - savedAt) / 1000);
    if (seconds < 4) return messages.saved_now;
    return seconds < 90
      ? filled(messages.saved_seconds, { n: seconds })
      : filled(messages.saved_minutes, { n: Math.round(seconds / 60) });
  }
  return {
    saving: messages.saving,
    trying: messages.not_saved,
    full: line.words || messages.not_saved,
    signed_out: line.words || messages.signed_out,
    stopped: (line.code === "closed" && line.words) || messages.stale,
  }[line.state];
}

/**
 * @param {import("./saving.js").Saving} saving
 * @param {Record<string, string>} messages
 */
function showStopped(saving, messages) {
  const again = made("button", { type: "button", class: "act", text: messages.load_again });
  again.addEventListener("click", () => location.reload());
  notice(`${saving.words || messages.stale} ${messages.kept_here}`, again);
}

/**
 * Something the coach has to know, above the walk.
 * @param {string} words
 * @param {Node[]} more
 */
export const notice = (words, ...more) => afterPress(() => showNotice(words, more));

/**
 * @param {string} words
 * @param {Node[]} more
 */
function showNotice(words, more) {
  document.getElementById("desk-notice")?.remove();
  const note = made(
    "div",
    { class: "note bad desk-notice", id: "desk-notice", role: "alert" },
    made("b", { text: "!" }),
    made("div", { class: "row" }, made("span", { text: words }), ...more),
  );
  byId("desk-top").prepend(note);
}

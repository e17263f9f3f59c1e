// @ts-check
/**
 * The wanted position of a checkpoint: asked of the server, which makes it from the reading, and put on the instant's
 * frame as a mark that the coach can drag, write on and take back like any other.
 */
import { filled } from "./page.js";

/**
 * @typedef {object} WantedNeeds  what it needs of the other parts of the desk
 * @property {import("./types.js").DeskData} data
 * @property {Record<string, string>} messages
 * @property {{tell: (words: string) => void}} undoing
 */

/**
 * @param {WantedNeeds} parts
 * @param {import("./film.js").Film} film
 * @param {string} checkpoint
 */
export async function showWanted(parts, film, checkpoint) {
  const { data, messages } = parts;
  if (!data.editable) return;
  const answer = await fetch(`${data.urls.wanted}?checkpoint=${encodeURIComponent(checkpoint)}`, {
    credentials: "same-origin",
  }).catch(() => null);
  const told = await answer?.json().catch(() => null);
  if (!answer?.ok || !told?.shape) return parts.undoing.tell(told?.words ?? messages.wanted_fails);
  await film.goTo(told.frame);
  film.marks.draw(told.frame, [...film.marks.at(told.frame).shapes, told.shape]);
  film.tools.choose("look");
  film.tools.chosen = film.tools.shapes.length - 1;
  film.viewport.ask();
  parts.undoing.tell(filled(messages.wanted_shown, { name: data.book[checkpoint]?.name ?? "" }));
}

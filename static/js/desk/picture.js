// @ts-check
/** The line under the film for a frame that is drawn on: its words, and where it stands in the evaluation. */
import { byId, field } from "./page.js";

/**
 * @param {import("./marks.js").Marks} marks
 * @param {() => number} frame
 * @param {boolean} editable
 */
export function picture(marks, frame, editable) {
  const [caption, inLetter, forThing, keepOthers] = ["caption", "in-evaluation", "for-thing", "keep-others"].map(field);
  for (const control of [caption, inLetter, forThing, keepOthers]) control.disabled = !editable;
  let at = -1;
  const write = () =>
    at >= 0 && marks.at(at).caption !== caption.value && marks.change(at, { caption: caption.value }, "did_caption");
  for (const typed of ["input", "change"]) caption.addEventListener(typed, write);
  inLetter.addEventListener("change", () => marks.change(frame(), { in_evaluation: inLetter.checked }, "did_picture"));
  forThing.addEventListener("change", () =>
    marks.change(
      frame(),
      { for_thing: forThing.checked, ...(forThing.checked && { in_evaluation: true }) },
      "did_picture",
    ),
  );
  keepOthers.addEventListener("change", () =>
    marks.change(frame(), { keep_others: keepOthers.checked }, "did_picture"),
  );
  return () => {
    if (at !== frame()) write(); // words typed a moment ago belong to the frame they were typed at
    at = frame();
    const markup = marks.at(at);
    byId("picture").hidden = !marks.has(at);
    if (document.activeElement !== caption) caption.value = markup.caption;
    inLetter.checked = markup.in_evaluation;
    forThing.checked = markup.for_thing;
    keepOthers.checked = markup.keep_others;
  };
}

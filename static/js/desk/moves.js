// @ts-check
/**
 * Corrections as functions of the corrections before, apart from any page.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Corrections} Corrections
 * @typedef {(now: Corrections) => Corrections} Move
 */

/** @param {Point} point @returns {Point} */
const round = ([x, y]) => [Math.round(x * 10) / 10, Math.round(y * 10) / 10];

/** An instant of a swing stands at a frame; null gives it back to the measuring. @param {number} swing @param {string} instant @param {number|null} frame @returns {Move} */
export const instantAt = (swing, instant, frame) => (now) => {
  const { [instant]: _old, ...others } = now.instants?.[swing] ?? {};
  const mine = frame === null ? others : { ...others, [instant]: frame };
  const { [swing]: _swing, ...swings } = now.instants ?? {};
  return { ...now, instants: Object.keys(mine).length ? { ...swings, [swing]: mine } : swings };
};

/** @param {number} frame @param {number} keypoint @param {Point} at @returns {Move} */
export const keypointAt = (frame, keypoint, at) => (now) => {
  const [x, y] = round(at);
  const others = (now.keypoints ?? []).filter((move) => move.frame !== frame || move.keypoint !== keypoint);
  return { ...now, keypoints: [...others, { frame, keypoint, x, y }] };
};

/** @param {number} frame @param {Point} knob @param {Point} barrel @returns {Move} */
export const batAt = (frame, knob, barrel) => (now) => {
  const others = (now.bat ?? []).filter((bat) => bat.frame !== frame);
  return { ...now, bat: [...others, { frame, knob: round(knob), barrel: round(barrel) }] };
};

/** @typedef {Required<Pick<Corrections, "keypoints"|"bat">>} Placed  what stands on one frame where the coach put it */

/** @param {Corrections} now @param {number} frame @returns {Placed} */
export const placedOn = (now, frame) => ({
  keypoints: (now.keypoints ?? []).filter((move) => move.frame === frame),
  bat: (now.bat ?? []).filter((bat) => bat.frame === frame),
});

/** On one frame this stands in place, and nothing else. @param {number} frame @param {Placed} placed @returns {Move} */
export const frameAs = (frame, placed) => (now) => ({
  ...now,
  keypoints: [...(now.keypoints ?? []).filter((move) => move.frame !== frame), ...placed.keypoints],
  bat: [...(now.bat ?? []).filter((bat) => bat.frame !== frame), ...placed.bat],
});

/** Everything put in place on one frame goes back to what was seen. @param {number} frame @returns {Move} */
export const frameBack = (frame) => frameAs(frame, { keypoints: [], bat: [] });

/** One keypoint of a frame goes back to where it was seen. @param {number} frame @param {number} keypoint @returns {Move} */
export const keypointBack = (frame, keypoint) => (now) => ({
  ...now,
  keypoints: (now.keypoints ?? []).filter((move) => move.frame !== frame || move.keypoint !== keypoint),
});

/** And the bat. @param {number} frame @returns {Move} */
export const batBack = (frame) => (now) => ({ ...now, bat: (now.bat ?? []).filter((bat) => bat.frame !== frame) });

/** View, hand and speed of the film; null leaves one to the measuring. @param {Pick<Corrections, "view"|"hand"|"speed_factor">} film @returns {Move} */
export const filmIs = (film) => (now) => ({ ...now, ...film });

/** Corners of home plate in reference pixels; null takes them back. @param {Point[]|null} corners @returns {Move} */
export const plateAt = (corners) => ({ plate: _old, ...others }) => (corners ? { ...others, plate: corners } : others);

/** A swing is none. @param {number} index @returns {Move} */
export const swingOut = (index) => (now) => ({ ...now, remove_swings: [...new Set([...(now.remove_swings ?? []), index])] });

/** And is one after all. @param {number} index @returns {Move} */
export const swingBack = (index) => (now) => ({ ...now, remove_swings: (now.remove_swings ?? []).filter((one) => one !== index) });

/** A swing that was not found. Those added before keep their place, for the place is their number. @param {number} first @param {number} last @returns {Move} */
export const swingAdded = (first, last) => (now) => ({ ...now, add_swings: [...(now.add_swings ?? []), { start_frame: first, end_frame: last }] });

// @ts-check
/**
 * Corrections as functions of the corrections before, apart from any page. Each also knows what it was made from, so
 * that a browser can keep it and make it anew.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Corrections} Corrections
 * @typedef {[kind: string, ...given: any[]]} Told
 * @typedef {((now: Corrections) => Corrections) & {told: Told}} Move
 */

/** @type {Record<string, (...given: any[]) => Move>} */
const KINDS = {};

/**
 * @template {any[]} G
 * @param {string} kind
 * @param {(...given: G) => (now: Corrections) => Corrections} made
 * @returns {(...given: G) => Move}
 */
const move = (kind, made) =>
  (KINDS[kind] = (/** @type {G} */ ...given) =>
    Object.assign(made(...given), { told: /** @type {Told} */ ([kind, ...given]) }));

/**
 * The move that was told of; null when there is none of its kind.
 * @param {any} told
 * @returns {Move|null}
 */
export const moveOf = (told) =>
  Array.isArray(told) && Object.hasOwn(KINDS, told[0]) ? KINDS[told[0]](...told.slice(1)) : null;

/**
 * @param {Point} point
 * @returns {Point}
 */
const round = ([x, y]) => [Math.round(x * 10) / 10, Math.round(y * 10) / 10];

/** An instant of a swing stands at a frame; null gives it back to the measuring. */
export const instantAt = move(
  "instantAt",
  (/** @type {number} */ swing, /** @type {string} */ instant, /** @type {number|null} */ frame) => (now) => {
    const { [instant]: _old, ...others } = now.instants?.[swing] ?? {};
    const mine = frame === null ? others : { ...others, [instant]: frame };
    const { [swing]: _swing, ...swings } = now.instants ?? {};
    return { ...now, instants: Object.keys(mine).length ? { ...swings, [swing]: mine } : swings };
  },
);

export const keypointAt = move(
  "keypointAt",
  (/** @type {number} */ frame, /** @type {number} */ keypoint, /** @type {Point} */ at) => (now) => {
    const [x, y] = round(at);
    const others = (now.keypoints ?? []).filter((one) => one.frame !== frame || one.keypoint !== keypoint);
    return { ...now, keypoints: [...others, { frame, keypoint, x, y }] };
  },
);

export const batAt = move(
  "batAt",
  (/** @type {number} */ frame, /** @type {Point} */ knob, /** @type {Point} */ barrel) => (now) => {
    const others = (now.bat ?? []).filter((bat) => bat.frame !== frame);
    return { ...now, bat: [...others, { frame, knob: round(knob), barrel: round(barrel) }] };
  },
);

/** @typedef {Required<Pick<Corrections, "keypoints"|"bat">>} Placed  what stands on one frame where the coach put it */

/**
 * @param {Corrections} now
 * @param {number} frame
 * @returns {Placed}
 */
export const placedOn = (now, frame) => ({
  keypoints: (now.keypoints ?? []).filter((one) => one.frame === frame),
  bat: (now.bat ?? []).filter((bat) => bat.frame === frame),
});

/** On one frame this stands in place, and nothing else. */
export const frameAs = move("frameAs", (/** @type {number} */ frame, /** @type {Placed} */ placed) => (now) => ({
  ...now,
  keypoints: [...(now.keypoints ?? []).filter((one) => one.frame !== frame), ...placed.keypoints],
  bat: [...(now.bat ?? []).filter((bat) => bat.frame !== frame), ...placed.bat],
}));

/**
 * Everything put in place on one frame goes back to what was seen.
 * @param {number} frame
 */
export const frameBack = (frame) => frameAs(frame, { keypoints: [], bat: [] });

/** One keypoint of a frame goes back to where it was seen. */
export const keypointBack = move(
  "keypointBack",
  (/** @type {number} */ frame, /** @type {number} */ keypoint) => (now) => ({
    ...now,
    keypoints: (now.keypoints ?? []).filter((one) => one.frame !== frame || one.keypoint !== keypoint),
  }),
);

/** And the bat. */
export const batBack = move("batBack", (/** @type {number} */ frame) => (now) => ({
  ...now,
  bat: (now.bat ?? []).filter((bat) => bat.frame !== frame),
}));

/** View, hand and speed of the film; null leaves one to the measuring. */
export const filmIs = move(
  "filmIs",
  (/** @type {Pick<Corrections, "view"|"hand"|"speed_factor">} */ film) => (now) => ({ ...now, ...film }),
);

/** Corners of home plate in reference pixels; null takes them back. */
export const plateAt = move(
  "plateAt",
  (/** @type {Point[]|null} */ corners) =>
    ({ plate: _old, ...others }) =>
      corners ? { ...others, plate: corners } : others,
);

/** A swing is none. */
export const swingOut = move("swingOut", (/** @type {number} */ index) => (now) => ({
  ...now,
  remove_swings: [...new Set([...(now.remove_swings ?? []), index])],
}));

/** And is one after all. */
export const swingBack = move("swingBack", (/** @type {number} */ index) => (now) => ({
  ...now,
  remove_swings: (now.remove_swings ?? []).filter((one) => one !== index),
}));

/** A swing that was not found, once. Those added before keep their place, for the place is their number. */
export const swingAdded = move("swingAdded", (/** @type {number} */ first, /** @type {number} */ last) => (now) => {
  const added = now.add_swings ?? [];
  const isThere = added.some((one) => one.start_frame === first && one.end_frame === last);
  return isThere ? now : { ...now, add_swings: [...added, { start_frame: first, end_frame: last }] };
});

// @ts-check
/**
 * What was written here and not saved, put on top of what the draft holds now. Nothing written elsewhere meanwhile is
 * lost: running words are set below the others', lists and drawings are joined; a choice is the newer one, this one.
 * @typedef {import("./types.js").DeskData} DeskData
 * @typedef {import("./types.js").MarkUp} MarkUp
 * @typedef {import("./pending.js").Item} Item
 */

/**
 * Changes `data` by the items and gives them back as they are now to be sent: another text is another change.
 * @param {DeskData} data
 * @param {Item[]} items
 * @returns {Item[]}
 */
export function putIn(data, items) {
  return items.map((item) => {
    const body = joined(data, item);
    return JSON.stringify(body) === JSON.stringify(item.body)
      ? item
      : { ...item, body, token: `${item.token.slice(0, 30)}+` };
  });
}

/**
 * @param {DeskData} data
 * @param {Item} item
 */
function joined(data, { kind, body, was }) {
  /** @type {any} */
  const given = body;
  if (kind === "draft") {
    /** @type {Record<string, any>} */
    const draft = data.draft;
    for (const [field, mine] of Object.entries(given)) draft[field] = text(field, draft[field], mine, was);
    return Object.fromEntries(Object.keys(given).map((field) => [field, draft[field]]));
  }
  if (kind === "rating") {
    if (given.rate || given.words) data.ratings[given.checkpoint] = { rate: given.rate, words: given.words };
    else delete data.ratings[given.checkpoint];
  }
  if (kind === "counting" && given.clip === data.clip?.id && given.swing in data.counting)
    data.counting[given.swing] = given.counts;
  if (kind === "markup" && given.clip === data.clip?.id) {
    const there = data.markups.find((one) => one.frame === given.frame);
    const shapes = there ? union(there.shapes, given.shapes, /** @type {any} */ (was)?.shapes ?? []) : given.shapes;
    data.markups = [...data.markups.filter((one) => one !== there), { ...given, shapes }];
    return { ...given, shapes };
  }
  if (kind === "assignment") {
    data.assignments = data.assignments.filter((one) => one.drill !== given.drill);
    if (!given.remove) data.assignments.push(given);
  }
  return given;
}

/**
 * @param {string} field
 * @param {any} theirs
 * @param {any} mine
 * @param {unknown} was
 */
function text(field, theirs, mine, was) {
  if (["good", "lighter_clips"].includes(field)) return union(theirs, mine, Array.isArray(was) ? was : []);
  const isRunning = ["greeting", "thing_words", "closing"].includes(field);
  if (!isRunning || !theirs || theirs === (typeof was === "string" ? was.trim() : was) || mine.includes(theirs))
    return mine;
  return theirs.includes(mine) ? theirs : `${theirs}\n\n${mine}`;
}

/**
 * Mine, and what others added since `was`.
 * @template T
 * @param {T[]} theirs
 * @param {T[]} mine
 * @param {T[]} was
 * @returns {T[]}
 */
function union(theirs, mine, was) {
  const keys = new Set([...mine, ...was].map(keyOf));
  return [...mine, ...theirs.filter((one) => !keys.has(keyOf(one)))];
}

/**
 * Whether two things are the same to the site.
 * @param {unknown} one
 * @param {unknown} other
 */
export const sameJson = (one, other) => keyOf(one) === keyOf(other);

/**
 * What the site gives back of a thing that this browser sent it has the same key: the site orders a shape's fields in
 * its own way and trims what is written.
 * @param {unknown} one
 * @returns {string}
 */
function keyOf(one) {
  return JSON.stringify(one, (_name, value) => {
    if (typeof value === "string") return value.trim();
    if (!value || typeof value !== "object" || Array.isArray(value)) return value;
    return Object.fromEntries(Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}

// @ts-check
/**
 * The practice plan: drills of the library, first those that train the one thing on the side on which it lies, each
 * with its set-up for this player.
 * @typedef {import("./types.js").Assignment} Assignment
 * @typedef {import("./types.js").Drill} Drill
 * @typedef {import("./types.js").Entry} Entry
 * @typedef {import("./types.js").SetUpField} SetUpField
 * @typedef {{checkpoint: string, side: string}} Aim  what the drills are for, and the side of its band: "low", "high"
 * or ""
 */
import { bestFirst, FIT, fit } from "./fitting.js";
import { byId, field, filled, made } from "./page.js";

/**
 * Drills that fit the words of a search, best first.
 * @param {Drill[]} drills
 * @param {string} search
 * @param {Aim} aim
 */
export function sorted(drills, search, aim) {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const fitting = drills.filter((drill) => {
    const text = `${drill.title} ${drill.in_short} ${drill.goal}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
  return bestFirst(fitting, aim.checkpoint, aim.side);
}

export class Plan extends EventTarget {
  /**
   * @param {Assignment[]} assignments
   * @param {Drill[]} drills
   * @param {Record<string, SetUpField>} fields
   * @param {Record<string, string>} messages
   * @param {Record<string, Entry>} book
   * @param {() => Aim} aim
   */
  constructor(assignments, drills, fields, messages, book, aim) {
    super();
    this.assignments = assignments;
    /** @type {Map<string, Assignment>} each as it was last told */
    this.told = new Map(assignments.map((one) => [one.drill, { ...one }]));
    this.drills = new Map(drills.map((drill) => [drill.slug, drill]));
    this.fields = fields;
    this.messages = messages;
    this.book = book;
    this.aim = aim;
    field("drill-search").addEventListener("input", () => this.showLibrary());
    this.show();
  }

  show() {
    byId("plan").replaceChildren(...this.assignments.map((one) => this.assigned(one)));
    this.showLibrary();
  }

  showLibrary() {
    const found = sorted([...this.drills.values()], field("drill-search").value, this.aim());
    const lines = found.map((drill) => this.line(drill));
    byId("drills").replaceChildren(
      ...(lines.length ? lines : [made("li", { class: "small", text: this.messages.no_drill })]),
    );
  }

  /** The drill of the library that fits the one thing best. */
  bestDrill() {
    return sorted([...this.drills.values()], "", this.aim())[0];
  }

  /** @param {Drill} drill */
  line(drill) {
    const is = this.assignments.some((one) => one.drill === drill.slug);
    const assign = made(
      "button",
      { type: "button", class: "quiet", disabled: is },
      is ? this.messages.assigned : this.messages.assign,
    );
    assign.append(made("span", { class: "unseen", text: ` ${drill.title}` }));
    assign.addEventListener("click", () => this.assign(drill.slug));
    const about = made(
      "span",
      {},
      made("b", { text: drill.title }),
      made("span", { class: "small", text: drill.in_short }),
    );
    const tag = this.tag(drill);
    if (tag) about.append(tag);
    return made("li", {}, about, assign);
  }

  /**
   * How a drill fits the one thing: against which side of its band it is.
   * @param {Drill} drill
   */
  tag(drill) {
    const { checkpoint, side } = this.aim();
    const how = fit(drill, checkpoint, side);
    if (how === FIT.elsewhere) return null;
    const { low, high } = this.book[checkpoint]?.sides ?? {};
    const against = drill.against[checkpoint];
    const name = !low
      ? "trains_thing"
      : how === FIT.bothSides
        ? "trains_both"
        : !against
          ? "trains_not_said"
          : how === FIT.otherSide
            ? "trains_other"
            : "trains_side";
    return made("span", {
      class: how === FIT.otherSide ? "tag" : "tag thing",
      text: filled(this.messages[name], { side: against === "low" ? low : high }),
    });
  }

  /** @param {string} slug */
  assign(slug) {
    const drill = this.drills.get(slug);
    if (!drill || this.assignments.some((one) => one.drill === slug)) return;
    const assignment = { drill: slug, set_up: { ...drill.set_up }, goal: drill.goal, words: "" };
    this.assignments.push(assignment);
    this.tell(assignment, null);
    this.show();
    /** @type {HTMLDetailsElement|null} */ (byId("plan").querySelector("li:last-child details"))?.setAttribute(
      "open",
      "",
    );
  }

  /**
   * The drill that fits the one thing best and is not given yet; its title, or "" where none surely helps on its side
   * of the band.
   */
  assignBest() {
    const { checkpoint, side } = this.aim();
    const isOpen = (/** @type {Drill} */ drill) => !this.assignments.some((one) => one.drill === drill.slug);
    const best = bestFirst([...this.drills.values()], checkpoint, side).find(isOpen);
    const how = best ? fit(best, checkpoint, side) : FIT.elsewhere;
    if (!best || how > FIT.notSure || (how === FIT.notSure && this.book[checkpoint]?.sides?.low)) return "";
    this.assign(best.slug);
    return best.title;
  }

  /**
   * @param {Assignment} assignment
   * @param {Assignment|null} was
   * @param {boolean} [remove]
   */
  tell(assignment, was, remove = false) {
    const [before, after] = [this.told.get(assignment.drill) ?? null, remove ? null : { ...assignment }];
    if (after) this.told.set(assignment.drill, after);
    else this.told.delete(assignment.drill);
    this.dispatchEvent(
      new CustomEvent("changed", {
        detail: { drill: assignment.drill, body: { ...assignment, remove }, was, before, after },
      }),
    );
  }

  /**
   * This stands in the plan, or no longer.
   * @param {string} slug
   * @param {Assignment|null} wanted
   */
  put(slug, wanted) {
    const at = this.assignments.findIndex((one) => one.drill === slug);
    const old = this.assignments[at];
    const now = wanted && { ...wanted };
    if (now) this.assignments.splice(at < 0 ? this.assignments.length : at, 1, now);
    else if (old) this.assignments.splice(at, 1);
    if (now ?? old) this.tell(now ?? old, old ?? null, !now);
    this.show();
  }

  /** @param {Assignment} assignment */
  assigned(assignment) {
    const drill = this.drills.get(assignment.drill);
    const title = drill?.title ?? assignment.drill;
    const inputs = Object.entries(this.fields).map(([name, about]) => this.setUpField(assignment, name, about));
    const goal = this.wordsField(assignment, "goal", this.messages.goal, 200);
    const words = this.wordsField(assignment, "words", this.messages.drill_words, 300);
    const out = made("button", { type: "button", class: "quiet delete", text: this.messages.take_out });
    out.addEventListener("click", () => this.takeOut(assignment));
    const details = made(
      "details",
      {},
      made("summary", { id: `plan-${assignment.drill}`, text: title }),
      made("div", { class: "set-up" }, ...inputs),
      goal,
      words,
      out,
    );
    return made("li", { "data-drill": assignment.drill }, details);
  }

  /** @param {Assignment} assignment */
  takeOut(assignment) {
    this.assignments.splice(this.assignments.indexOf(assignment), 1);
    this.tell(assignment, assignment, true);
    this.show();
    byId("library").querySelector("summary")?.focus();
  }

  /**
   * @param {Assignment} assignment
   * @param {string} name
   * @param {SetUpField} about
   */
  setUpField(assignment, name, about) {
    const id = `set-up-${assignment.drill}-${name}`;
    const control = about.choices
      ? choice(about.choices, assignment.set_up[name])
      : count(about, assignment.set_up[name]);
    control.id = id;
    const save = () => {
      const value = about.choices ? control.value : Math.round(Number(control.value));
      if (!control.checkValidity() || assignment.set_up[name] === value) return;
      assignment.set_up = { ...assignment.set_up, [name]: value };
      this.tell(assignment, null);
    };
    control.addEventListener("input", save);
    control.addEventListener("change", () => control.reportValidity() && save());
    return made("div", { class: "field" }, made("label", { for: id, text: about.label }), control);
  }

  /**
   * @param {Assignment} assignment
   * @param {"goal"|"words"} name
   * @param {string} label
   * @param {number} most
   */
  wordsField(assignment, name, label, most) {
    const id = `plan-${assignment.drill}-${name}`;
    const box = made("input", { id, maxlength: most });
    box.value = assignment[name];
    const save = () => {
      if (assignment[name] === box.value) return;
      assignment[name] = box.value;
      this.tell(assignment, null);
    };
    for (const typed of ["input", "change"]) box.addEventListener(typed, save);
    return made("div", { class: "field" }, made("label", { for: id, text: label }), box);
  }
}

/**
 * @param {[string, string][]} choices
 * @param {string|number} chosen
 */
function choice(choices, chosen) {
  const select = made(
    "select",
    {},
    ...choices.map(([value, words]) => made("option", { value, text: words, selected: value === chosen })),
  );
  return select;
}

/**
 * @param {SetUpField} about
 * @param {string|number} value
 */
function count(about, value) {
  const [least, most] = about.range ?? [0, 99];
  return made("input", { type: "number", min: least, max: most, step: 1, required: true, value });
}

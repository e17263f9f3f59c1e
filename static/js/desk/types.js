// @ts-check
/**
 * The shapes of what the desk handles, as portal/desk/page.py sends it. Positions are upright clip pixels: x to the
 * right, y down, origin at the top left.
 *
 * @typedef {[number, number]} Point
 * @typedef {"line"|"arrow"|"angle"|"upright"|"level"|"ground_line"|"ground_edge"|"ghost"|"ring"|"free"|"words"} Kind
 * @typedef {"seen"|"wanted"|"coach"} Tone
 * @typedef {{kind: Kind, points: Point[], tone: Tone, text?: string, degrees?: number}} Shape  see
 * portal/desk/shapes.py for the points of each kind
 *
 * @typedef {object} MarkUp  what is drawn on one frame
 * @property {number} frame
 * @property {string} instant
 * @property {Shape[]} shapes
 * @property {boolean} show_skeleton
 * @property {string} caption
 * @property {boolean} in_evaluation
 * @property {boolean} for_thing
 * @property {boolean} keep_others  the people beside the hitter are shown
 *
 * @typedef {{frame: number|null, time_s: number|null, interval_s: Point|null, source: string, reason: string|null}}
 * Instant
 *
 * @typedef {object} Swing
 * @property {number} index
 * @property {number} start_frame
 * @property {number} end_frame
 * @property {boolean} reaches_contact
 * @property {Record<string, Instant>} instants
 * @property {Record<string, (number|null)[]>} traces  time_s, frame, hands_speed, front_foot_speed, sound
 *
 * @typedef {{index: number, start_frame: number, end_frame: number, instants: Record<string, number>}} Span  a swing
 * and its instants by frame
 *
 * @typedef {object} ClipAbout
 * @property {string} id
 * @property {number} width
 * @property {number} height
 * @property {number} frames
 * @property {[number, number, number, number]|null} hitter  x0, y0, x1, y1: hitter and bat over the swing, with a
 * little room
 * @property {number[]} sound  its level over equal shares of the frames, 0 to 99; empty where it is silent
 * @property {boolean} has_sound  whether it was sent with sound
 * @property {string} files        address before a file's name
 * @property {string} skeleton
 * @property {string} corrections
 *
 * @typedef {object} Corrections  as analysis.read takes them
 * @property {string|null} [view]
 * @property {string|null} [hand]
 * @property {number|null} [speed_factor]
 * @property {Record<string, Record<string, number>>} [instants]
 * @property {{frame: number, keypoint: number, x: number, y: number}[]} [keypoints]
 * @property {{frame: number, knob: Point, barrel: Point}[]} [bat]
 * @property {Point[]|null} [plate]  in pixels of the reference frame
 * @property {number[]} [remove_swings]
 * @property {{start_frame: number, end_frame: number}[]} [add_swings]
 *
 * @typedef {object} Standing  a clip's corrections and what was read with them
 * @property {number} version
 * @property {Corrections} corrections
 * @property {{film: Record<string, any>, swings: Swing[]}} result
 * @property {Record<string, number>} [moved]  swings that have another number now, former to new
 * @property {string} news  of the film that the coach has not seen
 * @property {boolean|null} plate_fits  whether the coach's corners look like a plate on the ground; null without any
 *
 * @typedef {{version: number, greeting: string, good: string[], thing_checkpoint: string, thing_title: string,
 * thing_words: string, closing: string, pronoun: string, lighter_clips: string[]}} Draft
 * @typedef {{rate: string, words: string}} Rating
 * @typedef {Record<string, string|number>} SetUp
 * @typedef {{drill: string, set_up: SetUp, goal: string, words: string}} Assignment
 * @typedef {{slug: string, title: string, trains: string[], against: Record<string, string>, in_short: string, goal:
 * string, set_up: SetUp}} Drill
 * @typedef {{label: string, choices: [string, string][]|null, range: Point|null, default: string|number}} SetUpField
 * @typedef {{name: string, instant: string, good_words: string, why: string, words: {low: string, high: string}, sides:
 * {low: string, high: string}, headlines: {low: string, high: string}}} Entry  sides: what it is there, "too bent";
 * empty where only the eye rates it
 *
 * @typedef {{stills: import("./stills.js").Index, samples: import("./samples.js").Table}} Tables  where a clip's frames
 * lie; null where they are so long that they are asked for beside the page
 *
 * @typedef {object} DeskData
 * @property {string} stop
 * @property {string[]} stops
 * @property {Record<string, string>} names
 * @property {boolean} editable
 * @property {string} player  first name
 * @property {string} called_before  he, she or they, until the draft's own is chosen
 * @property {string} submission
 * @property {Record<string, string>} urls
 * @property {ClipAbout|null} clip
 * @property {{frame: number, still: string, tables: Tables|null}|null} first  what is shown first, where its still is,
 * and where all frames lie
 * @property {Swing|null} swing
 * @property {number} swing_index
 * @property {Span[]} swings  every swing of the clip
 * @property {Record<string, boolean>} counting  by swing index, whether it counts
 * @property {boolean|null} plate_fits
 * @property {string} news  of the film that the coach has not seen, when the page was made
 * @property {Record<string, any>} film
 * @property {Corrections} corrections
 * @property {number} corrections_version
 * @property {Draft} draft
 * @property {string[]} made  tokens of the newest changes that the draft holds
 * @property {Record<string, Rating>} ratings
 * @property {MarkUp[]} markups
 * @property {Record<string, any>} marks  static/marks.json
 * @property {Assignment[]} assignments
 * @property {Drill[]} drills
 * @property {Record<string, SetUpField>} set_up
 * @property {Record<string, Entry>} book
 * @property {Record<string, string>} messages
 */
export {};

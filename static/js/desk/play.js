// @ts-check
/**
 * Moving play from stills: frame by frame at the film's own times, times the chosen rate. A picture that is late holds
 * the play up instead of being left out of step. At the film's own pace its sound is told where the film stands.
 * @typedef {import("./reel.js").Reel} Reel
 */

const REST = 500; // milliseconds between two rounds
const LATE = 120; // so many behind, a picture holds the play up
const LATE_HEARD = 30; // while its sound is heard beside it

export class Play extends EventTarget {
  /**
   * @param {Reel} reel
   * @param {(frame: number) => number} time  seconds, NaN where unknown
   * @param {() => [number, number]} stretch  first and last frame to play
   */
  constructor(reel, time, stretch) {
    super();
    this.reel = reel;
    this.time = time;
    this.stretch = stretch;
    this.rate = 0.25;
    this.isOn = false;
    this.isLoop = false;
    /** how often it was stopped: what was begun before may still wait for its last picture */
    this.stops = 0;
    /** @type {Pick<import("./sound.js").Sound, "isOn"|"follow"|"quiet">|null} */
    this.sound = null;
  }

  toggle() {
    if (this.isOn) this.stop();
    else void this.start();
  }

  stop() {
    if (!this.isOn) return;
    this.isOn = false;
    this.stops++;
    this.sound?.quiet();
    this.dispatchEvent(new Event("change"));
  }

  async start() {
    if (this.isOn) return;
    this.isOn = true;
    const before = this.stops;
    const goesOn = () => this.stops === before;
    this.dispatchEvent(new Event("change"));
    await this.run(goesOn);
    if (goesOn()) this.stop();
  }

  /**
   * From the frame that stands to the last, and again from the first where it is a loop.
   * @param {() => boolean} goesOn  false from the moment on in which this play, and not a later one, was stopped
   */
  async run(goesOn) {
    const [first, last] = this.stretch();
    let at = this.reel.shown >= last || this.reel.shown < first ? first : this.reel.shown;
    if (!(await this.reel.show(at))) return;
    let due = performance.now();
    while (goesOn() && (at < last || this.isLoop)) {
      const now = await nextFrame();
      if (!goesOn()) return;
      if (at >= last) {
        this.sound?.quiet();
        if (due + REST > now) continue; // the last frame stands a moment before it begins anew
        due += REST;
        at = first;
      } else {
        let next = at;
        while (next < last && due + this.wait(next) <= now) due += this.wait(next++);
        this.hear(next, due);
        if (next === at) continue;
        at = next;
      }
      if (!(await this.reel.show(at))) return; // somebody asked for another frame
      due = this.held(now, due);
    }
  }

  /**
   * When the picture that is shown now counts as due: a late one from now on.
   * @param {number} asked  when it was asked for
   * @param {number} due
   */
  held(asked, due) {
    const now = performance.now();
    return now - asked > (this.rate === 1 && this.sound?.isOn ? LATE_HEARD : LATE) ? now : due;
  }

  /**
   * @param {number} frame  the one that stands
   * @param {number} since  when it was due
   */
  hear(frame, since) {
    const seconds = this.time(frame) + (performance.now() - since) / 1000;
    if (this.rate === 1 && !Number.isNaN(seconds)) this.sound?.follow(seconds);
    else this.sound?.quiet();
  }

  /**
   * How long a frame stands, in milliseconds.
   * @param {number} frame
   */
  wait(frame) {
    const step = this.time(frame + 1) - this.time(frame);
    return (1000 * (step > 0 ? step : 1 / 30)) / this.rate;
  }
}

/** @returns {Promise<number>} */
const nextFrame = () => new Promise((done) => requestAnimationFrame(done));

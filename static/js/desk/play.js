// @ts-check
/**
 * Moving play from stills: frame by frame at the film's own times, slower by the chosen rate. A picture that is late
 * holds the play up instead of being left out of step.
 * @typedef {import("./reel.js").Reel} Reel
 */

const REST = 500; // milliseconds between two rounds

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
  }

  toggle() {
    if (this.isOn) this.stop();
    else void this.start();
  }

  stop() {
    if (!this.isOn) return;
    this.isOn = false;
    this.dispatchEvent(new Event("change"));
  }

  async start() {
    if (this.isOn) return;
    this.isOn = true;
    this.dispatchEvent(new Event("change"));
    const [first, last] = this.stretch();
    let at = this.reel.shown >= last || this.reel.shown < first ? first : this.reel.shown;
    if (!(await this.reel.show(at))) return this.stop();
    let due = performance.now();
    while (this.isOn && (at < last || this.isLoop)) {
      const now = await nextFrame();
      if (at >= last) {
        if (due + REST > now) continue; // the last frame stands a moment before it begins anew
        due += REST;
        at = first;
        if (!this.isOn || !(await this.reel.show(at))) break;
        continue;
      }
      let next = at;
      while (next < last && due + this.wait(next) <= now) due += this.wait(next++);
      if (next === at) continue;
      at = next;
      if (!this.isOn || !(await this.reel.show(at))) break; // somebody asked for another frame
      if (performance.now() - now > 120) due = performance.now(); // it came late: go on from here
    }
    this.stop();
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

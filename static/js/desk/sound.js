// @ts-check
/**
 * The clip's own sound beside moving play, at full speed alone. The film leads and the sound follows: it is told where
 * the film stands at every picture of the screen, begins anew where it is out of step, and ends by itself soon after it
 * is told nothing more, so that it never runs on over a film that waits.
 */

const APART_S = 0.025; // out of step from here on: a frame and a half at 60 a second
const WAITS_S = 0.08; // how long it goes on by itself
const FADE_S = 0.004; // against the click of a cut
const RATE = 48000;

export class Sound extends EventTarget {
  /**
   * @param {string} url  its first sample is the first frame's moment
   * @param {typeof fetch} [fetcher]
   */
  constructor(url, fetcher = (...given) => fetch(...given)) {
    super();
    this.url = url;
    this.fetcher = fetcher;
    this.isOn = false;
    /** @type {AudioBuffer|null} */
    this.samples = null;
    /** @type {Promise<void>|null} */
    this.coming = null;
    /** @type {AudioContext|null} */
    this.context = null;
    /** @type {{source: AudioBufferSourceNode, gain: GainNode, from: number, at: number, end: number}|null} */
    this.heard = null;
  }

  /** @param {boolean} isOn */
  turn(isOn) {
    this.isOn = isOn;
    if (isOn) void this.load();
    else this.quiet();
  }

  /** Fetched once, and again where that failed; says "failed". */
  load() {
    this.coming ??= this.fetch().catch((error) => {
      this.coming = null;
      this.dispatchEvent(new CustomEvent("failed", { detail: error }));
    });
    return this.coming;
  }

  async fetch() {
    const answer = await this.fetcher(this.url, { credentials: "same-origin" });
    if (!answer.ok) throw new Error(`The sound was answered with ${answer.status}.`);
    const bytes = await answer.arrayBuffer();
    // a context that plays would ask for a press first
    this.samples = await new OfflineAudioContext(1, 1, RATE).decodeAudioData(bytes);
  }

  /**
   * Where the film stands now, in seconds from its first frame.
   * @param {number} seconds
   */
  follow(seconds) {
    if (!this.isOn || !this.samples) return this.quiet();
    this.context ??= new AudioContext({ latencyHint: "interactive" });
    if (this.context.state !== "running") return void this.context.resume();
    const now = this.context.currentTime;
    if (!(Math.abs(this.position(now) - seconds) < APART_S)) this.begin(seconds, now);
    if (!this.heard) return;
    this.heard.end = now + WAITS_S;
    this.heard.source.stop(this.heard.end);
  }

  /**
   * Which moment of the film is heard; NaN where nothing is.
   * @param {number} now  of the context's clock
   */
  position(now) {
    if (!this.heard || now > this.heard.end) return NaN;
    return this.heard.from + now - this.heard.at - this.latency;
  }

  /** What lies between a sample and the ear, as far as the browser knows it. */
  get latency() {
    return this.context?.outputLatency || this.context?.baseLatency || 0;
  }

  /**
   * @param {number} seconds
   * @param {number} now
   */
  begin(seconds, now) {
    this.quiet();
    const from = seconds + this.latency;
    if (!this.context || !this.samples || from < 0 || from >= this.samples.duration) return;
    const [source, gain] = [this.context.createBufferSource(), this.context.createGain()];
    source.buffer = this.samples;
    source.connect(gain).connect(this.context.destination);
    gain.gain.setValueAtTime(0, now);
    gain.gain.linearRampToValueAtTime(1, now + FADE_S);
    source.start(now, from);
    this.heard = { source, gain, from, at: now, end: now + WAITS_S };
  }

  quiet() {
    if (!this.heard || !this.context) return;
    const { source, gain, end } = this.heard;
    const now = this.context.currentTime;
    this.heard = null;
    if (now >= end) return; // it ended by itself
    gain.gain.cancelScheduledValues(now);
    gain.gain.setTargetAtTime(0, now, FADE_S / 2);
    source.stop(now + 4 * FADE_S);
  }
}

// @ts-check
/**
 * Keypoints and bat by frame, fetched in stretches, with what the coach put in place laid over them.
 * @typedef {import("./types.js").Point} Point
 * @typedef {import("./types.js").Corrections} Corrections
 * @typedef {{points: (number[]|null)[]|null, bat: Point[]|null, box: [number, number, number, number]|null, camera:
 * import("./camera.js").Homography}} Body
 */
import { STILL } from "./camera.js";

const STRETCH = 240;

export class Bodies extends EventTarget {
  /**
   * @param {string} url
   * @param {number} count  frames of the clip
   */
  constructor(url, count) {
    super();
    this.url = url;
    this.count = count;
    /** @type {Map<number, Body>} */
    this.held = new Map();
    /** @type {Map<number, Promise<void>>} */
    this.coming = new Map();
    /** @type {Corrections} */
    this.corrections = {};
    /** From reference pixels to the ground, where a plate gives it. @type {import("./camera.js").Homography|null} */
    this.ground = null;
  }

  /**
   * What was seen in a frame, corrected; null while it is not here (it is then on its way).
   * @param {number} frame
   * @returns {Body|null}
   */
  at(frame) {
    const seen = this.held.get(frame);
    if (!seen) {
      if (frame >= 0) void this.load(frame);
      return null;
    }
    return { ...seen, points: this.points(frame, seen.points), bat: this.bat(frame, seen.bat) };
  }

  /**
   * Keypoints of this frame that the coach put in place.
   * @param {number} frame
   */
  placed(frame) {
    const moves = this.corrections.keypoints ?? [];
    return new Set(moves.filter((move) => move.frame === frame).map((move) => move.keypoint));
  }

  /** @param {number} frame */
  batIsPlaced(frame) {
    return (this.corrections.bat ?? []).some((bat) => bat.frame === frame);
  }

  /**
   * Whether the coach moved anything on this frame.
   * @param {number} frame
   */
  isMoved(frame) {
    return this.placed(frame).size > 0 || this.batIsPlaced(frame);
  }

  /**
   * From this frame's pixels to the reference frame's; null while that is on its way.
   * @param {number} frame
   */
  camera(frame) {
    return this.at(frame)?.camera ?? null;
  }

  /**
   * @param {number} frame
   * @param {(number[]|null)[]|null} seen
   */
  points(frame, seen) {
    const moves = (this.corrections.keypoints ?? []).filter((move) => move.frame === frame);
    if (!moves.length) return seen;
    const points = seen ? seen.slice() : Array(33).fill(null);
    for (const { keypoint, x, y } of moves) points[keypoint] = [x, y, 1];
    return points;
  }

  /**
   * @param {number} frame
   * @param {(Point|null)[]|null} seen
   * @returns {Point[]|null}
   */
  bat(frame, seen) {
    const put = (this.corrections.bat ?? []).find((bat) => bat.frame === frame);
    if (put) return [put.knob, put.barrel];
    return seen && seen[0] && seen[1] ? [seen[0], seen[1]] : null;
  }

  /**
   * Fetch the stretch around a frame, once.
   * @param {number} frame
   */
  load(frame) {
    const first = Math.floor(frame / STRETCH) * STRETCH;
    const coming = this.coming.get(first) ?? this.fetch(first);
    this.coming.set(first, coming);
    return coming;
  }

  /** @param {number} first */
  async fetch(first) {
    try {
      const last = Math.min(first + STRETCH, this.count) - 1;
      const answer = await fetch(`${this.url}?first=${first}&last=${last}`, { credentials: "same-origin" });
      if (!answer.ok) return;
      const { first: from, points, bat, box, camera } = await answer.json();
      points.forEach((/** @type {any} */ one, /** @type {number} */ i) =>
        this.held.set(from + i, { points: one, bat: bat[i], box: box[i], camera: camera[i] ?? STILL }),
      );
      this.dispatchEvent(new Event("change"));
    } catch {
      this.coming.delete(first); // the line broke: asked for again with the next frame
    }
  }
}

// @ts-check
/** The contact sheet's stills: each instant's own frame, around the hitter; drawn anew when an instant moves. */
import { decoded } from "./stills.js";

/**
 * @param {import("./film.js").Film} film
 * @param {import("./walk.js").Walk} walk
 */
export function contactSheet(film, walk) {
  /** @type {Map<string, number>} */
  const drawn = new Map();
  return async () => {
    for (const stop of walk.stops) {
      const frame = film.frameOf(stop);
      if (frame === null || frame >= film.reel.count || drawn.get(stop) === frame) continue;
      drawn.set(stop, frame);
      try {
        await film.bodies.load(frame);
        const picture = await decoded(await film.frames.stills.jpeg(frame));
        walk.still(stop, picture, film.clip, film.bodies.at(frame)?.box ?? null);
        picture.close();
      } catch {
        drawn.delete(stop); // the line broke: with the next readings once more
      }
    }
  };
}

// @ts-check
/**
 * A small window of decoded pictures by frame: the oldest unused is closed first, the kept one (the one shown) never.
 */

/**
 * @typedef {{width: number, height: number, close: () => void}} Bitmap  an ImageBitmap, or a stand-in for it in tests
 */

/** @template {Bitmap} T */
export class Bitmaps {
  /** @param {number} room  how many pictures are held */
  constructor(room) {
    this.room = room;
    this.kept = -1;
    /** @type {Map<number, T>} */
    this.held = new Map();
  }

  /**
   * @param {number} frame
   * @returns {T|undefined}
   */
  get(frame) {
    const bitmap = this.held.get(frame);
    if (bitmap) {
      this.held.delete(frame);
      this.held.set(frame, bitmap); // newest used stands last
    }
    return bitmap;
  }

  /** @param {number} frame */
  has(frame) {
    return this.held.has(frame);
  }

  /**
   * Keep a picture; one that is there already stays, and the new one is closed.
   * @param {number} frame
   * @param {T} bitmap
   * @returns {T}
   */
  put(frame, bitmap) {
    const there = this.get(frame);
    if (there) {
      if (there !== bitmap) bitmap.close();
      return there;
    }
    this.held.set(frame, bitmap);
    for (const [old, picture] of this.held) {
      if (this.held.size <= this.room) break;
      if (old === this.kept || old === frame) continue;
      this.held.delete(old);
      picture.close();
    }
    return bitmap;
  }

  clear() {
    for (const bitmap of this.held.values()) bitmap.close();
    this.held.clear();
  }
}

// @ts-check
/**
 * A lighter view of dark film, at this desk alone; the write-up says whether it is sent so. Light is added by laying
 * the picture over itself: shadows come out, and what is bright stays below white, in every browser and for stills and
 * moving film alike. Marks and body are drawn over it, in their own colours. What is sent lighter has the same curve
 * (portal/evaluations/light.py).
 */

import { byId } from "./page.js";

const KEY = "desk-lighter";

export class Light extends EventTarget {
  /**
   * @param {string} submission  it holds for this one desk, until its window is closed
   * @param {Storage} session
   */
  constructor(submission, session) {
    super();
    this.submission = submission;
    this.session = session;
    this.isOn = session.getItem(KEY) === submission;
  }

  turn() {
    this.isOn = !this.isOn;
    if (this.isOn) this.session.setItem(KEY, this.submission);
    else this.session.removeItem(KEY);
    this.dispatchEvent(new Event("change"));
  }
}

/**
 * Who looks at the film lighter and does not send it so is told beside the choice.
 * @param {Light} light
 * @param {EventTarget & {draft: {lighter_clips: string[]}}} writeUp
 * @param {string} clip  the one looked at
 */
export function tellUnsent(light, writeUp, clip) {
  const show = () => (byId("lighter-unsent").hidden = !light.isOn || writeUp.draft.lighter_clips.includes(clip));
  for (const changing of [light, writeUp]) changing.addEventListener(changing === light ? "change" : "changed", show);
  show();
}

/**
 * What stands on the canvas so far, lighter: twice over itself makes nearly four times of what is all but black.
 * @param {CanvasRenderingContext2D} ink
 */
export function lighten(ink) {
  ink.save();
  ink.setTransform(1, 0, 0, 1, 0, 0);
  ink.imageSmoothingEnabled = false; // pixel upon pixel
  ink.globalCompositeOperation = "screen";
  for (let n = 0; n < 2; n++) ink.drawImage(ink.canvas, 0, 0);
  ink.restore();
}

// @ts-check
/** The space bar: held while something is dragged it moves the film; pressed alone it plays, when it comes up again. */

export class Space {
  /**
   * @param {HTMLElement} box  shows that the film can be moved
   * @param {() => void} play
   */
  constructor(box, play) {
    this.box = box;
    this.play = play;
    this.isDown = false;
    this.isUsed = false;
    this.up = this.up.bind(this);
    this.letGo = this.letGo.bind(this);
  }

  enable() {
    document.addEventListener("keyup", this.up, true);
    addEventListener("blur", this.letGo);
  }

  disable() {
    document.removeEventListener("keyup", this.up, true);
    removeEventListener("blur", this.letGo);
  }

  /** The key goes down, or repeats itself. */
  press() {
    if (this.isDown) return;
    this.isDown = true;
    this.isUsed = false;
    this.box.dataset.space = "yes";
  }

  /** Whether a press on the film is to move it: then the key plays nothing. */
  take() {
    this.isUsed ||= this.isDown;
    return this.isDown;
  }

  /** @param {KeyboardEvent} event */
  up(event) {
    if (event.key !== " " || !this.isDown) return;
    event.preventDefault(); // a button that was clicked before is not pressed by it
    const plays = !this.isUsed;
    this.letGo();
    if (plays) this.play();
  }

  letGo() {
    this.isDown = false;
    delete this.box.dataset.space;
  }
}

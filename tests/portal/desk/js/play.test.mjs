// Play that is stopped while a picture is on its way, and begun again before it comes.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Play } from "../../../../static/js/desk/play.js";

globalThis.requestAnimationFrame = (act) => setImmediate(() => act(performance.now()));

/** As reel.js: of several requests only the newest is drawn; a picture comes when it is told to. */
function reel() {
  const it = { shown: 0, newest: 0, coming: [] };
  it.show = async (frame) => {
    const request = ++it.newest;
    await new Promise((come) => it.coming.push(come));
    if (request !== it.newest) return false;
    it.shown = frame;
    return true;
  };
  it.comes = async () => {
    it.coming.splice(0).forEach((come) => come());
    await new Promise((go) => setTimeout(go, 5));
  };
  return it;
}

/** Play of ten frames at full speed, its first picture drawn. */
async function begun() {
  const film = reel();
  const play = new Play(
    film,
    (frame) => frame / 1000,
    () => [0, 9],
  );
  play.rate = 1;
  void play.start();
  await film.comes();
  return { film, play };
}

test("play that is begun while the picture of the play before is on its way is not stopped by it", async () => {
  const { film, play } = await begun();
  play.stop(); // as a key for another frame does
  const other = film.show(5);
  play.toggle();
  await film.comes();
  assert.equal(await other, false);
  assert.equal(play.isOn, true);
  while (play.isOn) await film.comes();
  assert.equal(film.shown, 9);
});

test("what was stopped draws nothing more", async () => {
  const { film, play } = await begun();
  play.stop();
  const asked = film.newest;
  for (let n = 0; n < 5; n++) await film.comes();
  assert.deepEqual([play.isOn, film.newest], [false, asked]);
});

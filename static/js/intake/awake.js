// @ts-check
/**
 * Keeps the screen on while a clip travels, where the browser can. Hidden pages lose the lock; it is taken again when
 * they come back.
 */

/** @returns {{enable: () => void, disable: () => void}} both may be called any number of times */
export function makeAwake() {
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  let wanted = false;

  async function take() {
    if (!wanted || lock || document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
    try {
      const taken = await navigator.wakeLock.request("screen");
      if (!wanted) return void taken.release();
      lock = taken;
      lock.addEventListener("release", () => (lock = null), { once: true });
    } catch {
      // low battery or forbidden: the clip travels all the same
    }
  }

  return {
    enable() {
      if (wanted) return;
      wanted = true;
      document.addEventListener("visibilitychange", take);
      void take();
    },
    disable() {
      wanted = false;
      document.removeEventListener("visibilitychange", take);
      void lock?.release();
      lock = null;
    },
  };
}

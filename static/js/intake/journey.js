// @ts-check
/**
 * One film over a line that may break, by the tus protocol. Goes on until the film is there, is refused, or is stopped:
 * after a failure by itself, as soon as the connection is back.
 */

import { CHECKING_MS, DEAD_MS, SILENT_MS, meaningOf, pauseAfter } from "./patience.js";

// what a front with a limit takes, and at most lost where it keeps back what is not whole
const CHUNK = 16 * 1024 * 1024;
const LOOK_MS = 500;

/** @typedef {{kind: "kept", page: string} | {kind: "refused", words: string} | {kind: "stopped"}} Outcome */
/**
 * @typedef {object} Plan
 * @property {string} endpoint where uploads begin
 * @property {string | null} url the upload to go on with
 * @property {string} token the page's CSRF token
 * @property {string} mark what the file is known by
 * @property {(sent: number) => void} onSent bytes, never fewer than before
 * @property {(waits: boolean) => void} onWait whether we wait for the line
 */

/** @returns {boolean} whether the client is here */
export const canTravel = () => "tus" in window && /** @type {any} */ (window).tus.isSupported;

/**
 * @param {File} file
 * @param {Plan} plan
 * @returns {{outcome: Promise<Outcome>, stop: () => void, hurry: () => void}} `hurry` tries again at once
 */
export function travel(file, plan) {
  const { Upload } = /** @type {typeof import("tus-js-client")} */ (/** @type {any} */ (window).tus);
  let [most, failures, last, waits, over] = [0, 0, performance.now(), false, false];
  let timer = 0;
  /** @type {(outcome: Outcome) => void} */
  let tell = () => {};
  /** @type {Promise<Outcome>} */
  const outcome = new Promise((done) => (tell = done));

  const upload = new Upload(file, {
    endpoint: plan.endpoint,
    uploadUrl: plan.url,
    chunkSize: CHUNK,
    retryDelays: null, // we know better when to try again
    storeFingerprintForResuming: false, // the server tells what is under way
    headers: { "X-CSRFToken": plan.token },
    metadata: { filename: file.name, mark: plan.mark },
    onProgress(sent) {
      if (sent > most) {
        [most, failures] = [sent, 0];
        plan.onSent(most);
      }
      alive();
    },
    onSuccess: ({ lastResponse }) => end({ kind: "kept", page: lastResponse.getHeader("Content-Location") || "" }),
    onError(error) {
      const answer = "originalResponse" in error ? error.originalResponse : null;
      const meaning = meaningOf(answer?.getStatus() ?? 0, answer?.getBody() ?? "");
      if (meaning.kind === "refused") end(meaning);
      else rest();
    },
  });

  /** @param {boolean} now */
  function wait(now) {
    if (now !== waits) plan.onWait((waits = now));
  }

  function alive() {
    last = performance.now();
    wait(false);
  }

  /** Wait for the line, and then go on. */
  function rest() {
    if (over) return;
    wait(true);
    clearTimeout(timer);
    timer = window.setTimeout(again, pauseAfter(++failures));
  }

  async function again() {
    clearTimeout(timer);
    if (over) return;
    if (!navigator.onLine) return rest();
    await upload.abort();
    last = performance.now();
    if (!over) upload.start();
  }

  const watch = window.setInterval(() => {
    const silent = performance.now() - last;
    if (waits && silent < DEAD_MS) return;
    const checking = most >= file.size;
    if (silent > (checking ? CHECKING_MS : DEAD_MS)) void again();
    else if (!checking && silent > SILENT_MS) wait(true);
  }, LOOK_MS);

  function lost() {
    void upload.abort();
    rest();
  }

  /** @param {Outcome} how */
  function end(how) {
    if (over) return;
    over = true;
    clearTimeout(timer);
    clearInterval(watch);
    window.removeEventListener("offline", lost);
    window.removeEventListener("online", again);
    tell(how);
  }

  window.addEventListener("offline", lost);
  window.addEventListener("online", again);
  upload.start();
  return {
    outcome,
    hurry: () => void again(),
    stop() {
      upload.abort(true).catch(() => {}); // not told to the server: then it forgets by itself in a few days
      end({ kind: "stopped" });
    },
  };
}

// @ts-check
/** One file over the line. XMLHttpRequest, because fetch cannot say how much has been sent. */

/**
 * @typedef {{kind: "kept", page: string}
 *   | {kind: "refused", words: string}
 *   | {kind: "broken"}
 *   | {kind: "stopped"}} Outcome
 */

/**
 * @param {string} url
 * @param {File} file
 * @param {string} token the page's CSRF token
 * @param {(sent: number) => void} onSent bytes that have left, true figures of the browser
 * @returns {{outcome: Promise<Outcome>, stop: () => void}}
 */
export function send(url, file, token, onSent) {
  const line = new XMLHttpRequest();
  /** @type {Promise<Outcome>} */
  const outcome = new Promise((done) => {
    line.upload.addEventListener("progress", (event) => onSent(event.loaded));
    line.addEventListener("load", () => done(outcomeOf(line.status, line.responseText)));
    line.addEventListener("error", () => done({ kind: "broken" }));
    line.addEventListener("abort", () => done({ kind: "stopped" }));
  });
  line.open("PUT", url);
  line.setRequestHeader("X-CSRFToken", token);
  line.setRequestHeader("X-File-Name", encodeURIComponent(file.name));
  line.setRequestHeader("Content-Type", "application/octet-stream");
  line.send(file);
  return { outcome, stop: () => line.abort() };
}

/**
 * @param {number} status
 * @param {string} text
 * @returns {Outcome} a broken line, too, when the server says that bytes are missing
 */
export function outcomeOf(status, text) {
  const answer = parsed(text);
  if (status >= 200 && status < 300 && typeof answer.page === "string") return { kind: "kept", page: answer.page };
  if (answer.code === "broken_off") return { kind: "broken" };
  return { kind: "refused", words: typeof answer.words === "string" ? answer.words : "" };
}

/**
 * @param {string} text
 * @returns {Record<string, unknown>}
 */
function parsed(text) {
  try {
    const answer = JSON.parse(text);
    return answer && typeof answer === "object" ? answer : {};
  } catch {
    return {};
  }
}

// @ts-check
/** Copies the invite link. Where the browser does not let us (plain http), the link is marked to be copied by hand. */

const SHOWN_MS = 2500;

/**
 * @param {HTMLButtonElement} button
 * @param {HTMLInputElement} input
 */
export function enable(button, input) {
  const words = button.textContent;
  button.hidden = false;
  button.addEventListener("click", async () => {
    input.select();
    try {
      await navigator.clipboard.writeText(input.value);
    } catch {
      return; // selected, so one key or a long press copies it
    }
    button.textContent = button.dataset.wordsDone || words;
    setTimeout(() => (button.textContent = words), SHOWN_MS);
  });
}

const button = document.querySelector("[data-copy]");
const input = document.querySelector("[data-copy-from]");
if (button instanceof HTMLButtonElement && input instanceof HTMLInputElement) enable(button, input);

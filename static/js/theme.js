// @ts-check
/**
 * Light, dark, or as the device says. The choice is a cookie, so that the server sends the right page and nothing
 * flashes.
 */

const YEAR_S = 365 * 24 * 3600;
const root = document.documentElement;

/** @returns {string} "light", "dark" or "device" */
const chosen = () => root.dataset.theme || "device";

/** @param {string} theme */
function choose(theme) {
  if (theme === "device") delete root.dataset.theme;
  else root.dataset.theme = theme;
  const age = theme === "device" ? 0 : YEAR_S;
  const secure = location.protocol === "https:" ? "; secure" : "";
  document.cookie = `theme=${theme}; path=/; max-age=${age}; samesite=lax${secure}`;
}

/** @param {HTMLElement} group */
function enable(group) {
  const buttons = [...group.querySelectorAll("button")];
  const show = () =>
    buttons.forEach((button) => button.setAttribute("aria-pressed", String(button.value === chosen())));
  buttons.forEach((button) =>
    button.addEventListener("click", () => {
      choose(button.value);
      show();
    }),
  );
  show();
  group.hidden = false;
}

document.querySelectorAll("[data-theme-switch]").forEach((group) => enable(/** @type {HTMLElement} */ (group)));

// @ts-check
/**
 * A page that the browser holds whole for "back" is hidden while it waits, and asked for anew when it comes: who signed
 * out meanwhile finds the sign-in there, not the child.
 */

const whole = document.documentElement;

addEventListener("pagehide", (event) => {
  if (event.persisted) whole.style.visibility = "hidden";
});

addEventListener("pageshow", (event) => {
  if (event.persisted) location.reload();
});

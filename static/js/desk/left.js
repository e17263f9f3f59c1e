// @ts-check
/** Saving and correcting as a window begins: with what a window before it could not send. */
import { Correcting } from "./corrections.js";
import { putIn } from "./merge.js";
import { deskKey, namelessKey } from "../unsent.js";
import { account } from "./line.js";
import { filled, made } from "./page.js";
import { keptList, Pending } from "./pending.js";
import { Saving } from "./saving.js";
import { notice } from "./status.js";
import { adopt, nameless, ownKey, wasReloaded } from "./windows.js";

/**
 * The key of this window in the browser's store; null where nothing may be changed.
 * @param {import("./types.js").DeskData} data
 */
export const ownWindow = async (data) =>
  data.editable
    ? ownKey(
        deskKey(account(), data.submission),
        localStorage,
        sessionStorage,
        navigator.locks,
        wasReloaded(performance),
      )
    : null;

/**
 * What was kept before keys named an account may be anybody's who sat at this browser: it waits for a word.
 * @param {import("./types.js").DeskData} data
 */
export async function askWhose(data) {
  const former = namelessKey(data.submission);
  const keys = data.editable ? await nameless(former, localStorage, navigator.locks) : [];
  const n = keys.reduce((sum, key) => sum + keptList(localStorage, key).length, 0);
  if (!n || document.getElementById("desk-notice")) return;
  const mine = made("button", { type: "button", class: "act", text: data.messages.nameless_mine });
  mine.addEventListener("click", () => {
    adopt(keys, former, deskKey(account(), data.submission), localStorage);
    location.reload();
  });
  notice(filled(data.messages[n === 1 ? "nameless_one" : "nameless"], { n }), mine);
}

/**
 * Whether this page was made before the last change of this very window came to the site: it was loaded again while a
 * change was on its way. Told once, so that a site that went back to an older state does not hold the page in a ring.
 * @param {import("./types.js").DeskData} data
 * @param {Storage} session
 */
export function isBehind(data, session) {
  const key = `desk-version:${data.submission}`;
  const last = Number(session.getItem(key) ?? 0);
  session.removeItem(key);
  return last > data.draft.version;
}

/**
 * @param {import("./types.js").DeskData} data
 * @param {import("./windows.js").Own|null} own  null where nothing may be changed
 */
export function left(data, own) {
  const key = own?.key ?? "";
  const store = own ? localStorage : null;
  const pending = new Pending(store, key, () => Math.random().toString(36).slice(2) + Date.now().toString(36));
  const arrived = new Set(data.made); // the site has it, though nobody was there to hear so
  const items = store
    ? putIn(
        data,
        pending.leftOver().filter((item) => !arrived.has(item.token)),
      )
    : [];
  const saving = new Saving(pending, data.urls, data.draft.version, own ?? undefined);
  pending.takeOver(items);
  saving.addEventListener("said", () =>
    sessionStorage.setItem(`desk-version:${data.submission}`, String(saving.version)),
  );
  const { clip, corrections, corrections_version: version } = data;
  const correcting = clip && new Correcting(clip.corrections, corrections, version, store, `${key}:${clip.id}`);
  const count = items.length + (correcting?.leftOver ?? 0);
  if (count) notice(filled(data.messages[count === 1 ? "left_over_one" : "left_over"], { n: count }));
  return { saving, correcting };
}

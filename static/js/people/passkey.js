/**
 * Makes or asks for a passkey: `<form data-passkey="make|ask">` with a button `[data-passkey-go]`, a hidden field
 * `credential`, a place for trouble, and the server's options in `#passkey-options`.
 */

/** @param {string} text base64url */
export function bytesOf(text) {
  const base64 = text.replace(/-/g, "+").replace(/_/g, "/");
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}

/** @param {ArrayBuffer | null} bytes */
export function textOf(bytes) {
  if (!bytes) return null;
  const letters = Array.from(new Uint8Array(bytes), (byte) => String.fromCharCode(byte)).join("");
  return btoa(letters).replace(/\+/g, "-").replace(/\//g, "_").replace(/=/g, "");
}

/** @param {any[] | undefined} list descriptors whose ids are text */
const described = (list) => (list ?? []).map((one) => ({ ...one, id: bytesOf(one.id) }));

/** @param {any} options as the server wrote them */
async function make({ publicKey }) {
  const made = await navigator.credentials.create({
    publicKey: {
      ...publicKey,
      challenge: bytesOf(publicKey.challenge),
      user: { ...publicKey.user, id: bytesOf(publicKey.user.id) },
      excludeCredentials: described(publicKey.excludeCredentials),
    },
  });
  const key = /** @type {PublicKeyCredential} */ (made);
  const response = /** @type {AuthenticatorAttestationResponse} */ (key.response);
  return sent(key, {
    attestationObject: textOf(response.attestationObject),
    transports: response.getTransports?.() ?? [],
  });
}

/** @param {any} options as the server wrote them */
async function ask({ publicKey }) {
  const got = await navigator.credentials.get({
    publicKey: {
      ...publicKey,
      challenge: bytesOf(publicKey.challenge),
      allowCredentials: described(publicKey.allowCredentials),
    },
  });
  const key = /** @type {PublicKeyCredential} */ (got);
  const response = /** @type {AuthenticatorAssertionResponse} */ (key.response);
  return sent(key, {
    authenticatorData: textOf(response.authenticatorData),
    signature: textOf(response.signature),
    userHandle: textOf(response.userHandle),
  });
}

/**
 * A credential as the server reads it.
 * @param {PublicKeyCredential} key
 * @param {object} response
 */
function sent(key, response) {
  return {
    type: key.type,
    id: key.id,
    rawId: textOf(key.rawId),
    authenticatorAttachment: key.authenticatorAttachment,
    response: { clientDataJSON: textOf(key.response.clientDataJSON), ...response },
    clientExtensionResults: key.getClientExtensionResults(),
  };
}

/** @param {HTMLFormElement} form */
export function enable(form) {
  const options = JSON.parse(document.getElementById("passkey-options")?.textContent ?? "{}");
  const credential = /** @type {HTMLInputElement} */ (form.elements.namedItem("credential"));
  const trouble = /** @type {HTMLElement} */ (form.querySelector("[data-passkey-trouble]"));
  const asks = form.dataset.passkey === "ask";
  if (asks && !options.request_options?.publicKey?.allowCredentials?.length) return; // this person has no passkey
  form.hidden = false;
  const go = async () => {
    trouble.hidden = true;
    try {
      const answer = asks ? await ask(options.request_options) : await make(options.creation_options);
      credential.value = JSON.stringify(answer);
      form.submit();
    } catch {
      trouble.textContent = form.dataset.trouble ?? "";
      trouble.hidden = false;
    }
  };
  form.querySelector("[data-passkey-go]")?.addEventListener("click", go);
  form.addEventListener("submit", (event) => {
    event.preventDefault(); // Enter in the name field
    void go();
  });
}

for (const form of document.querySelectorAll("form[data-passkey]")) enable(/** @type {HTMLFormElement} */ (form));

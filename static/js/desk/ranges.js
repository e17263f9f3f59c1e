// @ts-check
/** Bytes of a stored file by range (RFC 9110, section 14), checked: never fewer, never others than asked for. */

/**
 * All of a file. Nobody has to wait for it: a failure is told to whoever does.
 * @param {string} url
 * @param {typeof fetch} [fetcher]
 * @returns {Promise<Uint8Array>}
 */
export function whole(url, fetcher = (...given) => fetch(...given)) {
  const body = fetcher(url, { credentials: "same-origin" }).then(async (answer) => {
    if (!answer.ok) throw new Error(`${url}: the server answered ${answer.status}`);
    return new Uint8Array(await answer.arrayBuffer());
  });
  body.catch(() => {});
  return body;
}

/**
 * @param {typeof fetch} fetcher
 * @param {string} url
 * @param {number} first
 * @param {number} end  one past the last byte
 * @param {AbortSignal} [signal]
 * @returns {Promise<Uint8Array>}
 */
export async function bytes(fetcher, url, first, end, signal) {
  const answer = await fetcher(url, {
    headers: { Range: `bytes=${first}-${end - 1}` },
    signal,
    credentials: "same-origin",
  });
  if (answer.status !== 206 && answer.status !== 200) throw new Error(`${url}: the server answered ${answer.status}`);
  const body = new Uint8Array(await answer.arrayBuffer());
  const part = answer.status === 200 ? body.subarray(first, end) : body;
  if (part.length !== end - first) throw new Error(`${url}: ${part.length} bytes came, ${end - first} were asked for`);
  if (answer.status === 206) {
    const said = /^bytes (\d+)-/.exec(answer.headers.get("Content-Range") ?? "");
    if (said && Number(said[1]) !== first)
      throw new Error(`${url}: bytes from ${said[1]} came, from ${first} were asked for`);
  }
  return part;
}

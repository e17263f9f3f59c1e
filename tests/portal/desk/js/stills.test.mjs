// Stills from packs over a stand-in for the server that cuts ranges as RFC 9110 has them.
import assert from "node:assert/strict";
import { test } from "node:test";
import { bytes, whole } from "../../../../static/js/desk/ranges.js";
import { Stills } from "../../../../static/js/desk/stills.js";

/** Frame f's still: three bytes or more, the first two of them its number. */
const still = (frame) => Uint8Array.from([frame >> 8, frame & 255, ...Array(1 + (frame % 5)).fill(7)]);
const numberOf = (jpeg) => jpeg[0] * 256 + jpeg[1];

function server({
  packs = [
    [0, 19],
    [20, 49],
    [50, 59],
  ],
  delay = 0,
} = {}) {
  const bodies = {};
  const index = { schema: 1, width: 32, height: 18, packs: [] };
  for (const [first, last] of packs) {
    const offsets = [0];
    const parts = [];
    for (let f = first; f <= last; f++) {
      parts.push(...still(f));
      offsets.push(parts.length);
    }
    bodies[`stills-${first}-${last}.pack`] = Uint8Array.from(parts);
    index.packs.push({ file: `stills-${first}-${last}.pack`, first, last, offsets });
  }
  const asked = [];
  const fetcher = async (url, { headers, signal }) => {
    const [, first, last] = /bytes=(\d+)-(\d+)/.exec(headers.Range).map(Number);
    const call = { url, first, last, aborted: false };
    asked.push(call);
    signal?.addEventListener("abort", () => (call.aborted = true));
    if (delay) await new Promise((done) => setTimeout(done, delay));
    signal?.throwIfAborted();
    const part = bodies[url].slice(first, last + 1);
    return new Response(part, {
      status: 206,
      headers: { "Content-Range": `bytes ${first}-${last}/${bodies[url].length}` },
    });
  };
  return { index, fetcher, asked };
}

test("every frame gets the still of its own index", async () => {
  const { index, fetcher } = server();
  const stills = new Stills(index, "", fetcher);
  for (let f = 59; f >= 0; f--) {
    const jpeg = await stills.jpeg(f);
    assert.equal(numberOf(jpeg), f);
    assert.equal(jpeg.length, still(f).length);
  }
});

test("the wanted frame is asked for alone, its neighbours in one range of eight", async () => {
  const { index, fetcher, asked } = server();
  const stills = new Stills(index, "", fetcher);
  await stills.jpeg(22);
  await stills.comeAhead(22, 1, 1);
  assert.equal(asked.length, 2);
  for (let f = 22; f <= 30; f++) assert.equal(numberOf(stills.kept.get(f)), f);
  await stills.jpeg(30);
  assert.equal(asked.length, 2);
});

test("going back brings the frames before, and groups end at a pack's edge", async () => {
  const { index, fetcher, asked } = server();
  const stills = new Stills(index, "", fetcher);
  await stills.jpeg(23);
  await stills.comeAhead(23, -1, 2);
  assert.deepEqual(
    [...stills.kept.keys()].sort((a, b) => a - b),
    [12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23],
  );
  assert.deepEqual(
    asked.map((call) => call.url),
    ["stills-20-49.pack", "stills-20-49.pack", "stills-0-19.pack"],
  );
});

test("a newly wanted frame drops the neighbours that are on their way", async () => {
  const { index, fetcher, asked } = server({ delay: 20 });
  const stills = new Stills(index, "", fetcher);
  const ahead = stills.comeAhead(0, 1, 2);
  assert.equal(numberOf(await stills.jpeg(40)), 40);
  await ahead;
  assert.ok(asked[0].aborted);
  assert.deepEqual([...stills.kept.keys()], [40]);
});

test("a frame that was coming with a dropped group is fetched alone", async () => {
  const { index, fetcher } = server({ delay: 20 });
  const stills = new Stills(index, "", fetcher);
  void stills.comeAhead(0, 1, 1);
  const wanted = stills.jpeg(3);
  void stills.comeAhead(40, 1, 1); // drops the group that holds frame 3
  assert.equal(numberOf(await wanted), 3);
});

test("kept bytes stay within their room, the newest used last to go", async () => {
  const { index, fetcher } = server();
  const stills = new Stills(index, "", fetcher, 30);
  for (const f of [0, 1, 2, 3, 0, 4, 5, 6]) await stills.jpeg(f);
  assert.ok(stills.weight <= 30);
  assert.ok(stills.kept.has(6));
  assert.ok(!stills.kept.has(1));
});

test("a still that is on its way by an address of its own is waited for, and kept", async () => {
  const { index, fetcher, asked } = server();
  const stills = new Stills(index, "", fetcher);
  stills.expect(7, Promise.resolve(still(7)));
  assert.equal(numberOf(await stills.jpeg(7)), 7);
  assert.equal(numberOf(await stills.jpeg(7)), 7);
  assert.deepEqual(asked, []);
});

test("one that does not come is fetched like any other", async () => {
  const { index, fetcher, asked } = server();
  const stills = new Stills(index, "", fetcher);
  stills.expect(
    7,
    whole("7.jpg", async () => new Response("", { status: 503 })),
  );
  assert.equal(numberOf(await stills.jpeg(7)), 7);
  assert.equal(asked.length, 1);
});

test("a frame that no pack holds is refused by number", async () => {
  const { index, fetcher } = server();
  await assert.rejects(new Stills(index, "", fetcher).jpeg(60), /no still of frame 60/);
});

const answer =
  (status, body, headers = {}) =>
  async () =>
    new Response(body, { status, headers });

test("a server without ranges gives the whole file, which is cut here", async () => {
  assert.deepEqual([...(await bytes(answer(200, Uint8Array.from([1, 2, 3, 4, 5])), "f", 1, 3))], [2, 3]);
});

test("too few bytes, other bytes and refusals are errors, never a picture", async () => {
  await assert.rejects(bytes(answer(206, Uint8Array.from([1])), "f", 0, 4), /1 bytes came, 4 were asked for/);
  await assert.rejects(
    bytes(answer(206, Uint8Array.from([1, 2]), { "Content-Range": "bytes 7-8/99" }), "f", 0, 2),
    /bytes from 7 came/,
  );
  await assert.rejects(bytes(answer(404, ""), "f", 0, 4), /answered 404/);
});

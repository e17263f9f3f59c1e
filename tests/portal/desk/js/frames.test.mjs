// A browser whose decoder never answers: the stills come all the same.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Frames } from "../../../../static/js/desk/frames.js";

const INDEX = { schema: 1, width: 2, height: 2, packs: [{ file: "a.pack", first: 0, last: 1, offsets: [0, 3, 6] }] };
const TABLE = {
  codec: "avc1",
  width: 2,
  height: 2,
  description: "",
  time_s: [0, 1],
  samples: [
    [0, 3, true],
    [3, 3, false],
  ],
};
const never = () => new Promise(() => {});
const later = () => new Promise((go) => setImmediate(go));

/** As the clip's folder: its two tables, and bytes. */
const folder = async (url, { headers } = {}) => {
  if (url.endsWith("stills.json")) return Response.json(INDEX);
  if (url.endsWith("samples.json")) return Response.json(TABLE);
  const [from, to] = (headers?.Range ?? "bytes=0-5").match(/\d+/g).map(Number);
  return new Response(new Uint8Array(to - from + 1), {
    status: 206,
    headers: { "Content-Range": `bytes ${from}-${to}/6` },
  });
};

globalThis.createImageBitmap = async () => ({ close: () => {} });
globalThis.EncodedVideoChunk = class {};

test("stills do not wait for what a decoder says of the copy", async () => {
  globalThis.VideoDecoder = { isConfigSupported: never };
  const frames = await Frames.open("/clip/", "both", folder);
  assert.equal(frames.codec, null);
  assert.ok(await frames.picture(1));
});

test("tables that came with the page are not asked for", async () => {
  delete globalThis.VideoDecoder;
  const asked = [];
  const fetcher = (url, options) => (asked.push(url), folder(url, options));
  const frames = await Frames.open("/clip/", "both", fetcher, { stills: INDEX, samples: TABLE });
  assert.deepEqual([frames.count, frames.time(1), asked], [2, 1, []]);
  assert.ok(await frames.picture(1));
  assert.deepEqual(asked, ["/clip/a.pack"]);
});

test("a decoder that answers after the film is closed is not begun", async () => {
  let say = (_answer) => {};
  globalThis.VideoDecoder = { isConfigSupported: () => new Promise((answer) => (say = answer)) };
  const frames = await Frames.open("/clip/", "both", folder);
  frames.close();
  say({ supported: true });
  await later();
  assert.equal(frames.codec, null);
});

test("a run that is never decoded gives way to the still", async ({ mock }) => {
  globalThis.VideoDecoder = class {
    static isConfigSupported = async () => ({ supported: true });
    state = "configured";
    configure() {}
    decode() {}
    flush = never;
    close() {}
  };
  const frames = await Frames.open("/clip/", "both", folder);
  while (!frames.codec) await later();
  mock.timers.enable({ apis: ["setTimeout"] });
  void frames.comeAhead(0, 1);
  const picture = frames.picture(1);
  assert.equal(frames.decoding.size, 1);
  mock.timers.tick(3000);
  assert.ok(await picture);
  assert.equal(frames.faults, 1);
});

test("steps that overtake each other in one run do not count against the decoder, and the run comes", async () => {
  globalThis.VideoDecoder = class {
    static isConfigSupported = async () => ({ supported: true });
    state = "configured";
    constructor({ output }) {
      this.output = output;
    }
    configure() {}
    decode({ timestamp }) {
      this.output({ timestamp, close: () => {} });
    }
    flush = async () => {};
    close() {}
  };
  globalThis.EncodedVideoChunk = class {
    constructor({ timestamp }) {
      this.timestamp = timestamp;
    }
  };
  const slow = async (url, options = {}) => {
    if (url.endsWith("review.mp4")) await later();
    options.signal?.throwIfAborted();
    return folder(url, options);
  };
  const frames = await Frames.open("/clip/", "both", slow);
  while (!frames.codec) await later();
  await Promise.all([0, 1, 0, 1, 0].map((frame) => frames.comeAhead(frame, 1)));
  assert.deepEqual([frames.faults, frames.codec !== null], [0, true]);
  assert.ok(frames.here(0) && frames.here(1));
});

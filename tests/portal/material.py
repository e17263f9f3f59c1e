"""What measuring leaves behind, small: one reading as JSON, and the files of a browser, from a film of numbered frames."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from pathlib import Path
from typing import Any

import av
import numpy as np
from PIL import Image

from tests.films.numbered import frame_picture, write_clip

FRAMES = 60
WIDTH, HEIGHT = 320, 180
PACKS = ((0, 19), (20, 49), (50, 59))


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def result() -> dict[str, Any]:
    """A reading of one swing, 60 frames at 60 a second; numbers invented."""
    return json.loads((Path(__file__).parent / "measured.json").read_text())


def write_products(folder: Path) -> None:
    """Review copy with its sample table, stills in packs, poster and the pictures of the instants."""
    times = write_clip(folder / "review.mp4", frames=FRAMES, size=(WIDTH, HEIGHT), gop=12)
    _write_samples(folder, [float(time) for time in times])
    _write_sound(folder / "sound.flac")
    pictures = [_jpeg(number) for number in range(FRAMES)]
    packs = [_write_pack(folder, pictures, first, last) for first, last in PACKS]
    stills = {"schema": 1, "width": WIDTH, "height": HEIGHT, "packs": packs}
    (folder / "stills.json").write_text(json.dumps(stills))
    (folder / "poster.jpg").write_bytes(pictures[0])
    for name, instant in result()["swings"][0]["instants"].items():
        if instant["frame"] is not None:
            (folder / f"instant-0-{name}.jpg").write_bytes(pictures[instant["frame"]])
            (folder / f"thumb-0-{name}.jpg").write_bytes(pictures[instant["frame"]])


def _jpeg(number: int) -> bytes:
    out = io.BytesIO()
    Image.fromarray(frame_picture(number, WIDTH, HEIGHT)).save(out, "JPEG", quality=70)
    return out.getvalue()


def _write_pack(folder: Path, pictures: list[bytes], first: int, last: int) -> dict[str, Any]:
    name, offsets = f"stills-{first}-{last}.pack", [0]
    for picture in pictures[first : last + 1]:
        offsets.append(offsets[-1] + len(picture))
    (folder / name).write_bytes(b"".join(pictures[first : last + 1]))
    return {"file": name, "first": first, "last": last, "offsets": offsets}


def _write_sound(path: Path) -> None:
    """A hum of one second."""
    rate = 24_000
    hum = np.round(3000 * np.sin(2 * np.pi * 220 * np.arange(rate) / rate)).astype(np.int16)
    with av.open(str(path), "w", format="flac") as container:
        stream = container.add_stream("flac", rate=rate, layout="mono")
        frame = av.AudioFrame.from_ndarray(hum[None], format="s16", layout="mono")
        frame.sample_rate = rate
        for piece in av.AudioResampler(format="s16", layout="mono", rate=rate, frame_size=4096).resample(frame):
            container.mux(stream.encode(piece))
        container.mux(stream.encode(None))


def _write_samples(folder: Path, times: list[float]) -> None:
    with av.open(str(folder / "review.mp4")) as container:
        stream = container.streams.video[0]
        extra = stream.codec_context.extradata or b""
        samples = [[p.pos, p.size, int(p.is_keyframe)] for p in container.demux(stream) if p.size]
    table = {
        "schema": 1, "width": WIDTH, "height": HEIGHT, "frames": FRAMES, "codec": f"avc1.{extra[1:4].hex()}",
        "description": base64.b64encode(extra).decode(), "time_s": times, "samples": samples, "sound": True,
    }  # fmt: skip
    (folder / "review.samples.json").write_text(json.dumps(table))

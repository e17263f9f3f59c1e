"""Make a clip whose every frame carries its own number, and read the number back from a picture.

The number stands twice in the picture: as large digits for people, and for programs as two rows of cells along the lower
edge. A bit is bright above dark for 1 and dark above bright for 0, so reading compares two neighbours and needs no
threshold: scaling, JPEG, video compression and a changed brightness leave it readable. Four check bits notice a picture
that carries no number or shows two frames at once.

    python -m tests.films.numbered OUT.mp4 --fps 60 --frames 120 --size 1280x720 --rotation 90 --codec h264
"""

from __future__ import annotations

import argparse
import struct
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

__all__ = ["NumberUnreadable", "frame_picture", "frame_times", "read_number", "write_clip"]

Picture = NDArray[np.uint8]

NUMBER_BITS = 16
CHECK_BITS = 4
CELLS = NUMBER_BITS + CHECK_BITS
STRIP = 0.2  # share of the picture's height that the two rows of cells take
SOUND_RATE = 48_000
TICKS = 90_000  # per second; every common frame rate is a whole number of these
BRIGHT, DARK = 225, 25
LEAST_CONTRAST = 60  # between the two cells of a bit; an untouched one has 200
CODECS = {"h264": "libx264", "hevc": "libx265", "vp9": "libvpx-vp9"}
ROTATIONS = (0, 90, 180, 270)


class NumberUnreadable(ValueError):
    """The picture carries no frame number, or a spoilt one."""


def _check(number: int) -> int:
    """Four check bits: the exclusive or of the number's nibbles, turned by a constant so that all-zero is no code."""
    nibbles = [(number >> shift) & 0xF for shift in range(0, NUMBER_BITS, 4)]
    return nibbles[0] ^ nibbles[1] ^ nibbles[2] ^ nibbles[3] ^ 0b1010


def _bits(number: int) -> list[int]:
    code = (number << CHECK_BITS) | _check(number)
    return [(code >> shift) & 1 for shift in reversed(range(CELLS))]


def frame_picture(number: int, width: int, height: int) -> Picture:
    """Upright RGB picture, uint8 [height, width, 3], that carries ``number`` (0..65535)."""
    if not 0 <= number < 1 << NUMBER_BITS:
        raise ValueError(f"a frame number lies between 0 and {(1 << NUMBER_BITS) - 1}, got {number}")
    # A ground colour that changes from frame to frame makes two neighbours differ everywhere, not in the digits alone.
    ground = (40 + 37 * number % 120, 60 + 53 * number % 120, 70 + 71 * number % 120)
    image = Image.new("RGB", (width, height), ground)
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(size=max(12, int(min(height * 0.5, width * 0.25))))
    draw.text((width / 2, height * (1 - STRIP) / 2), str(number), font=font, fill=(255, 255, 255), anchor="mm")
    picture = np.array(image)
    _draw_strip(picture, number)
    return picture


def _draw_strip(picture: Picture, number: int) -> None:
    height, width = picture.shape[:2]
    rows = [round(height * (1 - STRIP)), round(height * (1 - STRIP / 2)), height]
    columns = [round(width * k / CELLS) for k in range(CELLS + 1)]
    for bit, left, right in zip(_bits(number), columns, columns[1:], strict=False):
        picture[rows[0] : rows[1], left:right] = BRIGHT if bit else DARK
        picture[rows[1] : rows[2], left:right] = DARK if bit else BRIGHT


def read_number(image: Picture | Image.Image) -> int:
    """The frame number that a picture carries.

    ``image``: upright, uint8 [H, W] or [H, W, 3 or 4] or a Pillow image, at any scale, uncropped.
    Raises NumberUnreadable where there is none.
    """
    grey = np.asarray(image, dtype=np.float64)
    grey = grey[..., :3].mean(axis=2) if grey.ndim == 3 else grey
    upper = _row_of_cells(grey, 1 - STRIP * 0.75)
    lower = _row_of_cells(grey, 1 - STRIP * 0.25)
    contrast = np.abs(upper - lower)
    if contrast.min() < LEAST_CONTRAST:
        raise NumberUnreadable(
            f"cell {int(contrast.argmin())} of the number strip is grey: contrast {contrast.min():.0f}"
        )
    code = int("".join("1" if bright else "0" for bright in upper > lower), 2)
    number, check = code >> CHECK_BITS, code & ((1 << CHECK_BITS) - 1)
    if check != _check(number):
        raise NumberUnreadable(f"the check bits do not fit the number {number}")
    return number


def _row_of_cells(grey: NDArray[np.float64], at: float) -> NDArray[np.float64]:
    """Mean grey of the inner part of each cell in the row whose middle lies at the share ``at`` of the height."""
    height, width = grey.shape
    half = max(1, int(height * STRIP * 0.12))
    band = grey[max(0, int(height * at) - half) : int(height * at) + half]
    cell = width / CELLS
    return np.array(
        [
            band[:, int((k + 0.3) * cell) : max(int((k + 0.7) * cell), int((k + 0.3) * cell) + 1)].mean()
            for k in range(CELLS)
        ]
    )


def frame_times(frames: int, fps: float, jitter: float = 0.0, seed: int = 0) -> NDArray[np.int64]:
    """Presentation times in ticks of 1/90000 s, int [frames], increasing from 0.

    ``jitter`` 0 gives a constant rate; up to 0.9 moves each frame by up to that share of half an interval, as phones do.
    """
    if not 0 <= jitter <= 0.9:
        raise ValueError(f"jitter is a share of half a frame interval between 0 and 0.9, got {jitter}")
    shift = np.random.default_rng(seed).uniform(-jitter / 2, jitter / 2, frames)
    shift[:1] = 0.0
    return np.rint((np.arange(frames) + shift) * TICKS / fps).astype(np.int64)


def write_clip(
    path: str | Path,
    *,
    frames: int = 120,
    fps: float = 60.0,
    size: tuple[int, int] = (1280, 720),
    rotation: int = 0,
    codec: str = "h264",
    times: Sequence[int] | NDArray[np.int64] | None = None,
    gop: int = 30,
    b_frames: int = 0,
    sound: NDArray[np.float64] | None = None,
) -> NDArray[np.float64]:
    """Write the clip and return its presentation times in seconds, float [frames].

    ``size`` is the upright width and height (even). ``rotation`` (0, 90, 180, 270) is how many degrees clockwise a player
    has to turn the stored picture, as a phone held upright stores it. ``times`` in ticks of 1/90000 s replaces the constant
    rate (see ``frame_times``). ``codec``: h264 or hevc in .mp4/.mov, vp9 in .webm. ``sound``: mono samples in -1..1 at
    SOUND_RATE, which begin with the first frame.
    """
    _refuse(Path(path), size, rotation, codec)
    ticks = np.asarray(frame_times(frames, fps) if times is None else times, dtype=np.int64)
    if len(ticks) != frames or np.any(np.diff(ticks) <= 0):
        raise ValueError(f"times: expected {frames} increasing values, got {len(ticks)}")
    stored = size if rotation in (0, 180) else size[::-1]
    options = {"movflags": "+faststart"} if Path(path).suffix != ".webm" else {}
    with av.open(str(path), "w", options=options) as container:
        stream = container.add_stream(CODECS[codec], rate=Fraction(fps).limit_denominator(1001))
        stream.width, stream.height = stored
        stream.pix_fmt = "yuv420p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, TICKS)
        stream.codec_context.gop_size = gop
        stream.options = _encoder_options(codec, b_frames)
        if codec == "hevc":
            stream.codec_context.codec_tag = "hvc1"  # the tag that Apple's players ask for
        audio = None if sound is None else container.add_stream("aac", rate=SOUND_RATE, layout="mono")
        for number, tick in enumerate(ticks):
            turned = np.rot90(frame_picture(number, *size), rotation // 90)
            frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(turned), format="rgb24")
            frame.pts, frame.time_base = int(tick), Fraction(1, TICKS)
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
        if audio is not None and sound is not None:
            _write_sound(container, audio, sound)
    if rotation:
        _write_rotation(Path(path), rotation, stored)
    return ticks / TICKS


def _write_sound(container: av.container.OutputContainer, stream: av.AudioStream, sound: NDArray[np.float64]) -> None:
    loud = np.ascontiguousarray(sound, np.float32)
    for start in range(0, len(loud), 1024):
        frame = av.AudioFrame.from_ndarray(loud[None, start : start + 1024], format="fltp", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = SOUND_RATE, start, Fraction(1, SOUND_RATE)
        container.mux(stream.encode(frame))
    container.mux(stream.encode(None))


def _refuse(path: Path, size: tuple[int, int], rotation: int, codec: str) -> None:
    """One message with every fault of the wish."""
    faults = []
    if codec not in CODECS:
        faults.append(f"codec is one of {', '.join(CODECS)}, got {codec!r}")
    if (path.suffix == ".webm") != (codec == "vp9"):
        faults.append(f"vp9 goes into .webm, h264 and hevc into .mp4 or .mov, got {codec} in {path.suffix!r}")
    if rotation not in ROTATIONS or (rotation and codec == "vp9"):
        faults.append(f"rotation is 0, 90, 180 or 270, and 0 in .webm, got {rotation}")
    if any(side % 2 or side < 2 * CELLS for side in size):
        faults.append(f"width and height are even and at least {2 * CELLS}, got {size[0]}x{size[1]}")
    if faults:
        raise ValueError("; ".join(faults))


def _encoder_options(codec: str, b_frames: int) -> dict[str, str]:
    if codec == "vp9":
        return {"deadline": "realtime", "cpu-used": "8", "crf": "34", "b": "0"}
    if codec == "hevc":
        return {"preset": "ultrafast", "crf": "28", "x265-params": f"bframes={b_frames}:log-level=none"}
    return {"preset": "veryfast", "crf": "26", "bf": str(b_frames)}


def _write_rotation(path: Path, rotation: int, stored: tuple[int, int]) -> None:
    """Put the turn into the track header's matrix (ISO/IEC 14496-12, `tkhd`), since PyAV has no way to write one."""
    width, height = stored
    one = 1 << 16
    a, b, c, d, x, y = {
        90: (0, one, -one, 0, height * one, 0),
        180: (-one, 0, 0, -one, width * one, height * one),
        270: (0, -one, one, 0, 0, width * one),
    }[rotation]
    matrix = struct.pack(">9i", a, b, 0, c, d, 0, x, y, 1 << 30)
    data = bytearray(path.read_bytes())
    start = data.index(b"tkhd") + 4
    at = start + (52 if data[start] == 1 else 40)  # version 1 has 64-bit times
    data[at : at + 36] = matrix
    path.write_bytes(data)


def main(arguments: Sequence[str] | None = None) -> None:
    """Command line of the module."""
    parser = argparse.ArgumentParser(description="Write a clip whose every frame carries its number.")
    parser.add_argument("path", type=Path)
    parser.add_argument("--fps", type=float, default=60.0)
    parser.add_argument("--frames", type=int, default=120)
    parser.add_argument("--size", default="1280x720")
    parser.add_argument("--rotation", type=int, default=0, choices=ROTATIONS)
    parser.add_argument("--codec", default="h264", choices=sorted(CODECS))
    parser.add_argument("--jitter", type=float, default=0.0, help="0 for a constant rate, up to 0.9 for a variable one")
    wish = parser.parse_args(arguments)
    width, height = (int(side) for side in wish.size.split("x"))
    write_clip(
        wish.path,
        frames=wish.frames,
        fps=wish.fps,
        size=(width, height),
        rotation=wish.rotation,
        codec=wish.codec,
        times=frame_times(wish.frames, wish.fps, wish.jitter),
    )


if __name__ == "__main__":
    main()

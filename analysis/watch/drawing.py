"""Draw a frame with skeleton, bat and readings on it, as a PNG to look at."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from analysis.read import INSTANT_NAMES, Result, Swing, checkpoint
from analysis.tracks import Tracks
from analysis.watch.again import frames_again
from analysis.watch.errors import ClipError
from analysis.watch.pictures import Picture

# Okabe and Ito's colours: told apart by everyone. Left, right, middle, bat.
LEFT, RIGHT, MIDDLE, BAT = "#56B4E9", "#E69F00", "#F0E442", "#009E73"
INK, PAPER = "#1b1b18", "#f4efe4"
BONES = (
    (11, 12, MIDDLE), (23, 24, MIDDLE), (11, 23, LEFT), (12, 24, RIGHT),
    (11, 13, LEFT), (13, 15, LEFT), (12, 14, RIGHT), (14, 16, RIGHT),
    (23, 25, LEFT), (25, 27, LEFT), (24, 26, RIGHT), (26, 28, RIGHT),
    (27, 29, LEFT), (29, 31, LEFT), (27, 31, LEFT), (28, 30, RIGHT), (30, 32, RIGHT), (28, 32, RIGHT),
)  # fmt: skip
MIN_SIDE = 720


def draw_stills(clip: Path, tracks: Tracks, result: Result, wanted: Sequence[tuple[str, Path]]) -> None:
    """Draw, for each (instant, file), the frame of that instant of the first swing that has it.

    Raises ClipError when no swing of the clip has the instant.
    """
    places = [(*_swing_with(result, instant), instant, file) for instant, file in wanted]
    for picture in frames_again(clip, [frame for _, frame, _, _ in places], tracks.time_s):
        for swing, frame, instant, file in places:
            if frame == picture.index:
                draw(picture.rgb(), tracks, swing, instant, frame).save(file)


def draw(picture: Picture, tracks: Tracks, swing: Swing, instant: str, frame: int) -> Image.Image:
    """Return the upright `picture` [H, W, 3] of `frame` with the hitter's skeleton, the bat, and the instant's readings beside."""
    grow = max(1.0, MIN_SIDE / min(picture.shape[:2]))
    size = round(picture.shape[1] * grow), round(picture.shape[0] * grow)
    image = Image.fromarray(picture).resize(size, Image.Resampling.LANCZOS)
    pen = ImageDraw.Draw(image)
    width = max(2, round(min(size) / 240))
    for first, second, colour in BONES:
        _line(pen, tracks.keypoints_px[frame, [first, second]] * grow, colour, width)
    if tracks.bat_is_sure[frame]:
        _line(pen, tracks.bat_px[frame] * grow, BAT, width + 1)
    _write_readings(pen, swing, instant, frame, size)
    return image


def _swing_with(result: Result, instant: str) -> tuple[Swing, int]:
    for swing in result.swings:
        frame = swing.instants[instant].frame
        if frame is not None:
            return swing, frame
    reasons = [swing.instants[instant].reason for swing in result.swings if swing.instants[instant].reason]
    why = f" {reasons[0]}" if reasons else " No swing was found."
    raise ClipError("no_instant", f"This clip has no frame for {INSTANT_NAMES[instant].lower()}.{why}")


def _line(
    pen: ImageDraw.ImageDraw, ends: np.ndarray[tuple[int, ...], np.dtype[np.floating]], colour: str, width: int
) -> None:
    if not np.isfinite(ends).all():
        return
    line = [(float(x), float(y)) for x, y in ends]
    pen.line(line, fill=INK, width=width + 3)
    pen.line(line, fill=colour, width=width)


def _write_readings(pen: ImageDraw.ImageDraw, swing: Swing, instant: str, frame: int, size: tuple[int, int]) -> None:
    font = ImageFont.load_default(max(13, round(size[1] / 45)))
    lines = [f"{INSTANT_NAMES[instant]}, frame {frame}"]
    for reading in swing.readings:
        if reading.instant == instant:
            name = checkpoint(reading.checkpoint).name
            lines.append(f"{name}: {_shown(reading.value, reading.interval, reading.unit)}  {reading.call}")
    text = "\n".join(lines)
    left, top, right, bottom = pen.multiline_textbbox((12, 12), text, font=font)
    pen.rectangle((left - 8, top - 8, right + 8, bottom + 8), fill=INK)
    pen.multiline_text((12, 12), text, font=font, fill=PAPER)


def _shown(value: float | None, interval: tuple[float, float] | None, unit: str) -> str:
    if value is None or interval is None:
        return ""
    digits = 2 if unit.startswith("×") else 0
    return f"{value:.{digits}f} {unit} [{interval[0]:.{digits}f}, {interval[1]:.{digits}f}]"

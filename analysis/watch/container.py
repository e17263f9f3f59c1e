"""Open a clip file safely: what it is, how big, which streams are used, and a kind refusal where it can't be."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
from av.container import InputContainer
from av.video.stream import VideoStream

from analysis.watch import boxes
from analysis.watch.errors import ClipError

MAX_BYTES = 2 * 1024**3
MAX_DURATION_S = 120.0
MAX_PIXELS = 4096 * 2304
MAX_STREAMS = 16
MIN_SIDE = 96
DECODE_THREADS = 2

# PyAV's log callback can hang a process that decodes in threads (PyAV issue 317): keep libav silent.
av.logging.set_level(None)


@dataclass(frozen=True)
class Header:
    """What the file says about itself, before a frame is decoded.

    coded_width, coded_height are as stored; `quarter_turns` counter-clockwise turns make them upright.
    duration_s and declared_frames are claims, None where the file makes none.
    """

    container: str
    codec: str
    coded_width: int
    coded_height: int
    nominal_fps: float | None
    duration_s: float | None
    declared_frames: int | None
    capture_fps: float | None
    has_sound: bool


@contextmanager
def opened(path: Path) -> Iterator[tuple[InputContainer, VideoStream]]:
    """Open the clip and its picture stream; raise ClipError when that can't be."""
    demuxer = _allowed_demuxer(path)
    try:
        container = av.open(str(path), format=demuxer, metadata_errors="replace")
    except (av.error.FFmpegError, OSError, ValueError) as error:
        raise _cannot_open(path, demuxer) from error
    with container:
        yield container, _picture_stream(container)


def read_header(path: Path) -> Header:
    """Read what the file claims and refuse what is beyond the caps; no frame is decoded."""
    with opened(path) as (container, stream):
        header = Header(
            container="mov" if "mov" in container.format.name else "matroska",
            codec=stream.codec_context.name,
            coded_width=stream.codec_context.width,
            coded_height=stream.codec_context.height,
            nominal_fps=_rate(stream.average_rate or stream.guessed_rate),
            duration_s=_longest(_duration(container, stream), boxes.claimed_duration(path)),
            declared_frames=stream.frames or None,
            capture_fps=_capture_fps(container, stream),
            has_sound=bool(container.streams.audio),
        )
    _refuse_beyond_caps(header)
    return header


def sha256(path: Path) -> str:
    """Return the hex SHA-256 of the file, read in pieces."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(1 << 20):
            digest.update(piece)
    return digest.hexdigest()


def _allowed_demuxer(path: Path) -> str:
    if not path.is_file():
        raise ClipError("not_there", f"There is no file {path.name}. Check the name and try again.")
    size = path.stat().st_size
    if size == 0:
        raise ClipError("empty", "This file is empty. The upload may have stopped early: please send the clip again.")
    if size > MAX_BYTES:
        raise ClipError(
            "too_large", "This file is larger than 2 GB. Please trim the clip to the swing and send it again."
        )
    with path.open("rb") as file:
        start = file.read(12)
    if start[4:8] in (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip"):
        return "mov"
    if start[:4] == b"\x1a\x45\xdf\xa3":
        return "matroska"
    raise ClipError(
        "not_video",
        "This file is not a video that we can open. "
        "Please send the clip as your phone recorded it (MP4, MOV, WebM or MKV).",
    )


def _cannot_open(path: Path, demuxer: str) -> ClipError:
    if demuxer == "mov" and not boxes.has_whole_box(path, b"moov"):
        return cut_off()
    return ClipError(
        "not_video",
        "This file starts like a video but can't be read. Please send the original clip from your phone again.",
    )


def cut_off() -> ClipError:
    """The refusal of a clip whose end is missing so early that no swing can be measured."""
    return ClipError(
        "truncated",
        "This clip is cut off: most of it is missing. The upload may have stopped early: please send it again.",
    )


def _picture_stream(container: InputContainer) -> VideoStream:
    if len(container.streams) > MAX_STREAMS:
        raise ClipError("too_large", "This file holds too many streams. Please send the original clip from your phone.")
    pictures = [stream for stream in container.streams.video if not _is_cover(stream)]
    if not pictures:
        raise ClipError("no_picture", "This file holds sound but no picture. Please send the video of the swing.")
    stream = max(pictures, key=lambda s: (s.codec_context.width or 0) * (s.codec_context.height or 0))
    stream.thread_type = "AUTO"
    stream.codec_context.thread_count = DECODE_THREADS
    return stream


def _is_cover(stream: VideoStream) -> bool:
    return bool(stream.disposition & av.stream.Disposition.attached_pic)


def _refuse_beyond_caps(header: Header) -> None:
    pixels = header.coded_width * header.coded_height
    if pixels > MAX_PIXELS:
        raise ClipError("too_large", "This picture is larger than 4K. Please film at 1080p and send the clip again.")
    if min(header.coded_width, header.coded_height) < MIN_SIDE:
        raise ClipError(
            "too_small",
            f"This picture is only {header.coded_width}×{header.coded_height} pixels, too small to see a hitter. "
            "Please film at 720p or more.",
        )
    if header.duration_s is not None and header.duration_s > MAX_DURATION_S:
        raise too_long(header.duration_s)


def too_long(duration_s: float) -> ClipError:
    """The refusal of a clip longer than the cap."""
    minutes = duration_s / 60
    length = f"{minutes / 60:.0f} hours" if minutes >= 100 else f"{minutes:.0f} minutes"
    return ClipError(
        "too_long",
        f"This clip says it is {length} long; at most {MAX_DURATION_S / 60:.0f} minutes can be measured. "
        "Please trim it to the swings and send it again.",
    )


def _duration(container: InputContainer, stream: VideoStream) -> float | None:
    claims = []
    if stream.duration and stream.time_base:
        claims.append(float(stream.duration * stream.time_base))
    if container.duration:
        claims.append(container.duration / 1e6)
    return max(claims) if claims else None


def _longest(*claims: float | None) -> float | None:
    return max((claim for claim in claims if claim is not None), default=None)


def _rate(rate: Fraction | None) -> float | None:
    return float(rate) if rate else None


def _capture_fps(container: InputContainer, stream: VideoStream) -> float | None:
    """Return the rate at which an Android phone says it captured; a tag is a hint, never a proof."""
    for tags in (container.metadata, stream.metadata):
        if value := tags.get("com.android.capture.fps"):
            try:
                return float(value)
            except ValueError:
                return None
    return None

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

from analysis.watch import boxes, ebml, tables
from analysis.watch.caps import (
    MAX_BYTES,
    MAX_DECODED_PIXELS,
    MAX_DURATION_S,
    MAX_FRAMES,
    MAX_PIXELS,
    MAX_STREAMS,
    MAX_UNPACKED_PIXELS,
    MIN_SIDE,
    packed_too_tightly,
)
from analysis.watch.errors import (
    AGAIN,
    ClipError,
    cut_off,
    no_picture_decodes,
    too_heavy,
    too_long,
    too_many_frames,
    unpacks,
)

DECODE_THREADS = 2
# Major brands of pictures in the same kind of boxes (ISO/IEC 23008-12 and the AVIF specification).
PHOTO_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"avif"}
# Nothing but this file is ever opened: no other file that it names, no address. Probing is kept short.
DEMUXER_OPTIONS = {
    "protocol_whitelist": "file",
    "enable_drefs": "0",
    "use_absolute_path": "0",
    "max_streams": str(4 * MAX_STREAMS),  # covers and attachments count as streams too
    "analyzeduration": "5000000",
    "probesize": "5000000",
}
DECODER_OPTIONS = {"max_pixels": str(MAX_DECODED_PIXELS)}

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
    (tables if demuxer == "mov" else ebml).check(path)
    try:
        container = av.open(
            f"file:{path}",  # else a name with a colon would be taken for an address
            format=demuxer,
            metadata_errors="replace",
            options=DECODER_OPTIONS,
            container_options=_demuxer_options(demuxer),
        )
    except MemoryError as error:
        raise too_heavy() from error
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
            duration_s=_claimed_length(container, stream, path),
            declared_frames=stream.frames or None,
            capture_fps=_capture_fps(container, stream),
            has_sound=bool(container.streams.audio),
        )
    _refuse_beyond_caps(header, path.stat().st_size)
    return header


def sha256(path: Path) -> str:
    """Return the hex SHA-256 of the file, read in pieces."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(1 << 20):
            digest.update(piece)
    return digest.hexdigest()


def _allowed_demuxer(path: Path) -> str:
    if not path.exists():
        raise ClipError("not_there", f"There is no file {path.name}. Check the name and try again.")
    if not path.is_file():
        raise ClipError("not_there", f"{path.name} is no file that holds a film. Check the name and try again.")
    size = path.stat().st_size
    if size == 0:
        raise ClipError("empty", "This file is empty. The upload may have stopped early: please send the clip again.")
    if size > MAX_BYTES:
        raise ClipError(
            "too_large", "This file is larger than 2 GB. Please trim the clip to the swing and send it again."
        )
    try:
        with path.open("rb") as file:
            start = file.read(12)
    except OSError as error:
        raise ClipError("not_there", f"The file {path.name} can't be opened: {error.strerror}.") from error
    if start[4:8] == b"ftyp" and start[8:12] in PHOTO_BRANDS:
        raise ClipError("not_video", "This file is a photo. Please send the video of the swing.")
    if start[4:8] in (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot"):
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
        f"This file starts like a video but can't be read. {AGAIN}",
    )


def _picture_stream(container: InputContainer) -> VideoStream:
    if len(container.streams) > MAX_STREAMS:
        raise tables.too_many_streams()
    films = [stream for stream in container.streams.video if not _is_cover(stream)]
    if not films:
        raise ClipError("no_picture", "This file holds no film: no moving picture. Please send the video of the swing.")
    pictures = [stream for stream in films if stream.codec_context is not None]
    if not pictures:
        raise ClipError(
            "not_video",
            "The film in this file is packed in a way that we can't open. "
            "Please send the clip as your phone recorded it (MP4, MOV, WebM or MKV).",
        )
    stream = max(pictures, key=lambda s: (s.codec_context.width or 0) * (s.codec_context.height or 0))
    stream.thread_type = "AUTO"
    stream.codec_context.thread_count = DECODE_THREADS
    stream.codec_context.options = DECODER_OPTIONS
    return stream


def _is_cover(stream: VideoStream) -> bool:
    return bool(stream.disposition & av.stream.Disposition.attached_pic)


def _refuse_beyond_caps(header: Header, file_bytes: int) -> None:
    pixels = header.coded_width * header.coded_height
    if not pixels:
        raise no_picture_decodes()
    if pixels > MAX_PIXELS:
        raise too_many_pixels()
    if min(header.coded_width, header.coded_height) < MIN_SIDE:
        raise ClipError(
            "too_small",
            f"This picture is only {header.coded_width}×{header.coded_height} pixels, too small to see a hitter. "
            "Please film at 720p or more.",
        )
    if header.duration_s is not None and header.duration_s > MAX_DURATION_S:
        raise too_long(header.duration_s)
    claimed = header.declared_frames or 0
    if claimed > MAX_FRAMES:
        raise too_many_frames()
    if claimed * pixels > MAX_UNPACKED_PIXELS:
        raise too_heavy()
    if packed_too_tightly(claimed * pixels, file_bytes):
        raise unpacks()


def too_many_pixels() -> ClipError:
    """The refusal of a picture larger than the cap."""
    return ClipError("too_large", "This picture is larger than 4K. Please film at 1080p and send the clip again.")


def _demuxer_options(demuxer: str) -> dict[str, str]:
    """Options of the demuxer; the two about references are known to the one for MP4 alone."""
    if demuxer == "mov":
        return DEMUXER_OPTIONS
    return {name: value for name, value in DEMUXER_OPTIONS.items() if name not in ("enable_drefs", "use_absolute_path")}


def _claimed_length(container: InputContainer, stream: VideoStream, path: Path) -> float | None:
    """Return the longest claim about the film's length, from its first picture on, in seconds.

    A film may begin anywhere in time: a recording cut out of a longer one keeps the longer one's times. What the header
    claims then counts from zero, so the start is taken off it.
    """
    start = float(stream.start_time * stream.time_base) if stream.start_time and stream.time_base else 0.0
    claims = []
    if stream.duration and stream.time_base:
        claims.append(float(stream.duration * stream.time_base))
    ends = [container.duration / 1e6 if container.duration else None, boxes.claimed_duration(path)]
    claims += [end - max(0.0, start) for end in ends if end is not None]
    return max(claims) if claims else None


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

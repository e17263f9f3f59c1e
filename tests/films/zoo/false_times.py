"""Films whose times stand still, run backwards, jump, or begin anywhere but at nought."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import av

from .good import TONE, clip, source
from .kinds import OK, ffmpeg, kind
from .mp4 import numbers, tree, whole

STEP, TICKS = 3000, 90_000


def with_times(path: Path, times: Sequence[int | None]) -> None:
    """Write pictures that each are a key, stored in this order, at these times in ticks of 1/90000 s."""
    good = path.with_name("good.mp4")
    good.write_bytes(clip(".mp4", "-bf", "0", "-g", "1", with_sound=False))
    with av.open(str(good)) as held, av.open(str(path), "w") as container:
        stream = container.add_stream_from_template(held.streams.video[0])
        packets = [packet for packet in held.demux(video=0) if packet.size]
        for order, packet in enumerate(packets[place % len(packets)] for place in range(len(times))):
            copy = av.Packet(bytes(packet))
            copy.stream, copy.time_base, copy.is_keyframe = stream, Fraction(1, TICKS), True
            copy.dts = order * STEP if path.suffix == ".mp4" else times[order]
            copy.pts = times[order]
            container.mux(copy)


def _ordered(name: str, times: Sequence[int], *ends: str) -> None:
    """The times as an MP4 tells them: by stts and signed ctts, put in by hand since no muxer writes them so."""

    @kind(*ends, name=name)
    def write(path: Path) -> None:
        file = tree(clip(".mp4", "-bf", "0", "-g", "1", with_sound=False))
        stbl = file.at("moov/trak/mdia/minf/stbl")
        trak = file.at("moov/trak")
        trak.inside = [inner for inner in trak.inside if inner.name != b"edts"]
        scale = int.from_bytes(file.at("moov/trak/mdia/mdhd").content[12:16], "big")
        step = scale // 30
        stbl.at("stts").content = numbers(0, 1, len(times), step)
        entries = [part for order, time in enumerate(times) for part in (1, round(time * scale / 30) - order * step)]
        stbl.inside = [inner for inner in stbl.inside if inner.name != b"ctts"]
        stbl.inside.append(type(stbl)(b"ctts", numbers(1 << 24, len(times), *entries)))
        path.write_bytes(whole(file))


FORTH = list(range(24))
_ordered("times in order by hand", FORTH, OK)
_ordered("times that run backwards", FORTH[::-1], "false_times")
_ordered("times that run backwards in the second half", FORTH[:12] + FORTH[:12][::-1], "false_times")
_ordered("times that begin again", FORTH[:12] + FORTH[:12], "false_times")
_ordered("times that all are the same", [0] * 24, "false_times")
_ordered("every time twice", [time // 2 for time in FORTH], "false_times")
_ordered("one time twice", [time - (time == 10) for time in FORTH], OK)
_ordered("one picture out of order", [time - 3 * (time == 10) for time in FORTH], OK)
_ordered("pairs the wrong way round", [time + (1 if time % 2 == 0 else -1) for time in FORTH], "false_times")
_ordered("a jump of ten seconds", [time + 300 * (time > 12) for time in FORTH], OK)
_ordered("a jump of ten hours", [time + 1_080_000 * (time > 12) for time in FORTH], "too_long")
_ordered("a last picture far away", [time + 20_000 * (time == 23) for time in FORTH], "too_long")
_ordered("a first picture far before", [time - 20_000 * (time == 0) for time in FORTH], "too_long")
_ordered("times before nought", [time - 100 for time in FORTH], OK)


def _begins(name: str, at: str, suffix: str) -> None:
    @kind(OK, name=name, suffix=suffix)
    def write(path: Path) -> None:
        codec = ("-c:v", "libvpx", "-c:a", "libvorbis") if suffix == ".webm" else ("-c:v", "libx264")
        ffmpeg(path, *codec, "-output_ts_offset", at, inputs=(*source(), *TONE))


_begins("begins at 1 000 seconds", "1000", ".mp4")
_begins("begins at 1 000 seconds in matroska", "1000", ".mkv")
_begins("begins at 1 000 seconds in webm", "1000", ".webm")
_begins("begins at 26 hours", "93600", ".mp4")
_begins("begins at 26 hours in matroska", "93600", ".mkv")
_begins("begins at 26 hours in quicktime", "93600", ".mov")
_begins("begins before nought", "-0.3", ".mp4")


@kind(OK)
def begins_at_1000_seconds_in_fragments(path: Path) -> None:
    movflags = ("-movflags", "frag_keyframe+empty_moov+default_base_moof")
    ffmpeg(path, "-c:v", "libx264", *movflags, "-output_ts_offset", "1000", inputs=(*source(), *TONE))


@kind(OK)
def cut_out_of_a_longer_recording(path: Path) -> None:
    """A transport stream's times, kept when it was packed into an MP4."""
    stream = path.with_name("long.ts")
    ffmpeg(stream, "-c:v", "libx264", "-output_ts_offset", "5000", inputs=(*source(), *TONE))
    ffmpeg(path, "-copyts", "-c", "copy", inputs=("-i", str(stream)))

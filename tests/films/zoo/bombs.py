"""Small files that unpack to far more, and pictures that change on the way."""

from __future__ import annotations

import io
from fractions import Fraction
from pathlib import Path

import numpy as np
from PIL import Image

from .good import PICTURES, clip, source
from .kinds import OK, ffmpeg, kind
from .mp4 import box, numbers, tree, whole

FAST = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p")


def _black(size: str, count: int, rate: int = 60) -> tuple[str, ...]:
    return ("-f", "lavfi", "-i", f"color=black:size={size}:rate={rate}:duration={count / rate}")


def _looped(path: Path, times: int, *arguments: str, inputs: tuple[str, ...]) -> None:
    """A film that shows what ffmpeg makes of `inputs` so many times over, packed once: to unpack, it is as long as any other."""
    once = path.with_stem("once")
    ffmpeg(once, *arguments, inputs=inputs)
    ffmpeg(path, "-c", "copy", inputs=("-stream_loop", str(times - 1), "-i", str(once)))


def repeated(path: Path, data: bytes, count: int) -> None:
    """Let an MP4 of few pictures, each a key, list them `count` times over: each a chunk of its own, in ever the same place."""
    file = tree(data)
    stbl = file.at("moov/trak/mdia/minf/stbl")
    sizes = stbl.at("stsz").content  # one size for all, or the first one's
    size = int.from_bytes(sizes[4:8], "big") or int.from_bytes(sizes[12:16], "big")
    place = int.from_bytes(stbl.at("stco").content[8:12], "big")
    step = int.from_bytes(stbl.at("stts").content[12:16], "big")
    stbl.at("stsz").content = numbers(0, size, count)
    stbl.at("stco").content = numbers(0, count, *[place] * count)
    stbl.at("stsc").content = numbers(0, 1, 1, 1, 1)
    stbl.at("stts").content = numbers(0, 1, count, step)
    trak = file.at("moov/trak")
    trak.inside = [inner for inner in trak.inside if inner.name != b"edts"]
    stbl.inside = [inner for inner in stbl.inside if inner.name not in (b"stss", b"ctts")]
    path.write_bytes(whole(file))


@kind("unpacks", heavy=True)
def black_4k_by_the_hundred(path: Path) -> None:
    _looped(path, 3, *FAST, inputs=_black("3840x2160", 60))


@kind("too_large", heavy=True)
def black_8k(path: Path) -> None:
    _looped(path, 13, *FAST, inputs=_black("7680x4320", 1))


@kind("too_large", heavy=True, suffix=".mov")
def black_8k_in_png(path: Path) -> None:
    _looped(path, 13, "-c:v", "png", inputs=_black("7680x4320", 1))


def _swapped(path: Path, codec: str, side: int) -> None:
    """A film of small stills whose index leads to one huge still instead, behind the film."""
    held = io.BytesIO()
    Image.new("L", (side, side)).save(held, "PNG" if codec == "png" else "JPEG")
    small = path.with_name("small.mov")
    ffmpeg(small, "-c:v", codec, inputs=source("640x480"))
    file = tree(small.read_bytes())
    stbl = file.at("moov/trak/mdia/minf/stbl")
    count = int.from_bytes(stbl.at("stsz").content[8:12], "big")
    stbl.at("stsz").content = numbers(0, len(held.getvalue()), count)
    stbl.at("stsc").content = numbers(0, 1, 1, 1, 1)
    stbl.at("stco").content = numbers(0, count, *[0] * count)
    stbl.at("stco").content = numbers(0, count, *[len(whole(file)) + 8] * count)
    path.write_bytes(whole(file) + box("mdat", held.getvalue()).bytes())


@kind("damaged", "not_video", heavy=True, suffix=".mov")
def pngs_of_16k_that_say_they_are_small(path: Path) -> None:
    _swapped(path, "png", 16384)


@kind("damaged", "not_video", heavy=True, suffix=".mov")
def jpegs_of_16k_that_say_they_are_small(path: Path) -> None:
    _swapped(path, "mjpeg", 16384)


@kind("too_large", heavy=True, suffix=".mov")
def pngs_of_5k_that_say_they_are_small(path: Path) -> None:
    _swapped(path, "png", 5000)


@kind("too_heavy", heavy=True)
def one_4k_picture_listed_30_000_times(path: Path) -> None:
    good = path.with_name("one.mp4")
    ffmpeg(good, *FAST, "-frames:v", "1", inputs=source("3840x2160", rate=240, seconds=0.1, what="testsrc"))
    repeated(path, good.read_bytes(), 30_000)


@kind("too_long", "broken_index")
def one_picture_listed_a_million_times(path: Path) -> None:
    good = path.with_name("one.mp4")
    ffmpeg(good, *FAST, "-frames:v", "1", inputs=source(rate=1000, seconds=0.1))
    repeated(path, good.read_bytes(), 1_000_000)


@kind("unpacks", heavy=True)
def one_4k_picture_listed_1000_times(path: Path) -> None:
    good = path.with_name("one.mp4")
    ffmpeg(good, *FAST, "-frames:v", "1", inputs=_black("3840x2160", 10))
    repeated(path, good.read_bytes(), 1000)


@kind(OK, "too_heavy", heavy=True)
def sixteen_references_at_4k(path: Path) -> None:
    options = ("-preset", "ultrafast", "-pix_fmt", "yuv420p10le", "-x264-params", "ref=16:bframes=8:b-adapt=0")
    ffmpeg(path, "-c:v", "libx264", *options, inputs=source("3840x2160", seconds=0.7, what="testsrc"))


@kind(OK, "too_heavy", heavy=True, suffix=".mkv")
def wide_colours_at_4k(path: Path) -> None:
    packed = ("-c:v", "ffv1", "-pix_fmt", "rgba64le", "-slices", "24")
    _looped(path, 7, *packed, inputs=source("3840x2160", seconds=0.06))


@kind(OK, heavy=True)
def a_clip_of_4k(path: Path) -> None:
    options = ("-preset", "ultrafast", "-pix_fmt", "yuv420p10le", "-x265-params", "log-level=none:bframes=0")
    _looped(path, 5, "-c:v", "libx265", *options, inputs=source("3840x2160", seconds=0.1, what="testsrc"))


@kind("too_long", heavy=True)
def more_minutes_of_silence(path: Path) -> None:
    quiet = ("-f", "lavfi", "-i", "anullsrc=r=8000:cl=mono:d=1500")
    ffmpeg(path, *FAST, "-c:a", "aac", "-b:a", "8k", inputs=(*source(), *quiet))


@kind("too_long", heavy=True)
def more_minutes_of_silence_that_the_header_hides(path: Path) -> None:
    quiet = ("-f", "lavfi", "-i", "anullsrc=r=8000:cl=mono:d=1500")
    ffmpeg(path, *FAST, "-c:a", "aac", "-b:a", "8k", inputs=(*source(), *quiet))
    file = tree(path.read_bytes())
    file.at("moov/mvhd").put(16, ">I", 800)
    path.write_bytes(whole(file))


@kind("too_long", heavy=True)
def minutes_of_silence_in_fragments(path: Path) -> None:
    quiet = ("-f", "lavfi", "-i", "anullsrc=r=8000:cl=mono:d=1500")
    fragments = ("-movflags", "frag_keyframe+empty_moov")
    ffmpeg(path, *FAST, "-c:a", "aac", "-b:a", "8k", *fragments, inputs=(*source(), *quiet))


@kind(OK, suffix=".mkv")
def minutes_of_silence_that_nothing_tells_of(path: Path) -> None:
    """As a live recording: no length stands anywhere."""
    quiet = ("-f", "lavfi", "-i", "anullsrc=r=8000:cl=mono:d=1500")
    ffmpeg(path, *FAST, "-c:a", "flac", "-f", "matroska", "-live", "1", inputs=(*source(), *quiet))


@kind(OK, "too_long", suffix=".mkv")
def sound_of_a_thousand_years(path: Path) -> None:
    """A last piece of sound ten hours behind the film."""
    ffmpeg(path, *FAST, "-c:a", "pcm_s16le", "-af", "asetpts='if(gt(N,20),PTS+36000/TB,PTS)'",
           inputs=(*source(), "-f", "lavfi", "-i", "sine=d=0.8"))  # fmt: skip


def _grows(name: str, first: str, then: str, *ends: str, suffix: str = ".mp4", codec: tuple[str, ...] = FAST) -> None:
    """Two clips joined as they are, so that the picture's size changes on the way (a large one's few pictures are enough)."""

    @kind(*ends, name=name, suffix=suffix, heavy="3840" in then or "7680" in then)
    def write(path: Path) -> None:
        parts = [path.with_name("first.ts"), path.with_name("then.ts")]
        for part, size in zip(parts, (first, then), strict=True):
            seconds = 0.2 if size in ("3840x2160", "7680x4320") else PICTURES / 30
            ffmpeg(part, *codec, "-bf", "0", "-f", "mpegts", inputs=source(size, seconds=seconds))
        joined = path.with_name("both.ts")
        joined.write_bytes(parts[0].read_bytes() + parts[1].read_bytes())
        step = 33 if suffix == ".mkv" else 3000  # in the ticks of the container
        ffmpeg(path, "-c", "copy", "-bsf:v", f"setts=ts=N*{step}", inputs=("-i", str(joined)))


_grows("the picture grows", "160x120", "320x240", OK)
_grows("the picture shrinks", "320x240", "160x120", OK)
_grows("the picture grows in matroska", "160x120", "320x240", OK, suffix=".mkv")
_grows("the picture changes its shape", "160x120", "160x240", "changing_picture")
_grows("the picture grows beyond 4k", "640x360", "7680x4320", "too_large", "truncated", "too_short")
_grows("the picture grows to 4k", "640x360", "3840x2160", OK)


@kind(OK, suffix=".webm")
def the_picture_of_a_call_that_adapts(path: Path) -> None:
    """VP8 with key pictures of another size, as browsers record a call."""
    import av

    with av.open(str(path), "w", format="webm") as container:
        stream = container.add_stream("libvpx", rate=30)
        stream.width, stream.height, stream.pix_fmt = 320, 240, "yuv420p"
        order = 0
        for width in (320, 160, 320):
            coder = av.CodecContext.create("libvpx", "w")
            coder.width, coder.height, coder.pix_fmt = width, width * 3 // 4, "yuv420p"
            coder.time_base = Fraction(1, 30)
            noise = np.random.default_rng(width)
            for _ in range(8):
                picture = noise.integers(0, 255, (width * 3 // 4, width, 3), np.uint8)
                frame = av.VideoFrame.from_ndarray(picture, format="rgb24")
                frame.pts, order = order, order + 1
                for packet in coder.encode(frame):
                    packet.stream = stream
                    container.mux(packet)
            for packet in coder.encode(None):
                packet.stream = stream
                container.mux(packet)


@kind("damaged")
def a_picture_of_16k_by_its_parameters(path: Path) -> None:
    """H.264 whose own head (SPS) tells of 16384 × 16384 in an MP4 that tells of 160 × 120."""
    file = tree(clip(".mp4", "-bf", "0", with_sound=False))
    entry = file.at("moov/trak/mdia/minf/stbl/stsd")
    at = entry.content.index(b"avcC") + 4 + 8
    entry.content = entry.content[:at] + _huge_sps() + _after_sps(entry.content, at)
    path.write_bytes(whole(file))


def _huge_sps() -> bytes:
    """Bits of a baseline SPS (ITU-T H.264, 7.3.2.1.1) of 1024 × 1024 macroblocks."""
    bits = "1" + "1" + "1" + "1" + "010" + "0"  # id 0, frame_num 4, poc type 0, poc lsb 4 bits, 1 reference, no gaps
    side = f"{1024:b}"
    golomb = "0" * (len(side) - 1) + side  # ue(1023)
    bits += golomb + golomb + "1" + "1" + "0" + "0" + "1"
    bits += "0" * (-len(bits) % 8)
    return b"\x67\x42\x00\x3e" + int(bits, 2).to_bytes(len(bits) // 8, "big")


def _after_sps(content: bytes, at: int) -> bytes:
    return content[at + int.from_bytes(content[at - 2 : at], "big") :]

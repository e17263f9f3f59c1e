"""Films that are unusual and honest: other codecs, colours, shapes, streams and containers. They are to be decoded."""

from __future__ import annotations

from pathlib import Path

from .good import TONE, clip, source
from .kinds import OK, ffmpeg, kind

ANY_CODEC = {
    "vp8": (".webm", "libvpx"),
    "vp9": (".webm", "libvpx-vp9"),
    "av1": (".mkv", "libaom-av1", "-cpu-used", "8", "-usage", "realtime"),
    "hevc": (".mp4", "libx265", "-x265-params", "log-level=none", "-tag:v", "hvc1"),
    "motion jpeg": (".mov", "mjpeg"),
    "prores": (".mov", "prores_ks"),
    "raw pictures": (".mov", "rawvideo", "-pix_fmt", "uyvy422"),
    "ffv1": (".mkv", "ffv1"),
    "png": (".mov", "png"),
    "mpeg 4": (".mp4", "mpeg4"),
    "mpeg 4 with b frames": (".mp4", "mpeg4", "-bf", "2"),
    "mpeg 2": (".mp4", "mpeg2video"),
    "h263": (".mov", "h263", "-s", "176x144"),
    "animation": (".mov", "qtrle"),
    "theora": (".mkv", "libtheora"),
    "dv": (".mov", "dvvideo", "-s", "720x480", "-r", "30000/1001", "-pix_fmt", "yuv411p"),
    "huffyuv": (".mkv", "ffvhuff"),
}
ANY_COLOUR = {
    "444 ten bit": ("libx264", "yuv444p10le"),
    "422": ("libx264", "yuv422p"),
    "grey": ("libx264", "gray"),
    "grey ten bit": ("libx264", "gray10le"),
    "twelve bit": ("libx265", "yuv420p12le"),
    "with alpha": ("ffv1", "yuva420p"),
    "a palette": ("png", "pal8"),
    "sixteen bit colours": ("ffv1", "rgb48le"),
    "floating point": ("ffv1", "gray16le"),
    "full range": ("libx264", "yuvj420p"),
    "planar colours": ("libx264rgb", "rgb24"),
}


def _codec(name: str, suffix: str, codec: str, *options: str) -> None:
    @kind(OK, name=f"codec {name}", suffix=suffix)
    def write(path: Path) -> None:
        ffmpeg(path, "-c:v", codec, *options, inputs=source())


def _colour(name: str, codec: str, layout: str) -> None:
    @kind(OK, name=f"colour {name}", suffix=".mkv")
    def write(path: Path) -> None:
        quiet = ("-x265-params", "log-level=none") if codec == "libx265" else ()
        ffmpeg(path, "-c:v", codec, "-pix_fmt", layout, *quiet, inputs=source())


def _made(
    name: str, *arguments: str, inputs: tuple[str, ...] | None = None, suffix: str = ".mp4", ends: str = OK
) -> None:
    @kind(ends, name=name, suffix=suffix)
    def write(path: Path) -> None:
        ffmpeg(path, *arguments, inputs=source() if inputs is None else inputs)


for _name, (_suffix, _codec_name, *_options) in ANY_CODEC.items():
    _codec(_name, _suffix, _codec_name, *_options)
for _name, (_codec_name, _layout) in ANY_COLOUR.items():
    _colour(_name, _codec_name, _layout)

X264 = ("-c:v", "libx264", "-pix_fmt", "yuv420p")
WIDE = (*source(), "-f", "lavfi", "-i", "anullsrc=r=192000:cl=7.1:d=0.8")
_made("interlaced", *X264, "-flags", "+ildct+ilme", "-x264-params", "tff=1")
_made("open groups with b frames", *X264, "-bf", "3", "-g", "6", "-x264-params", "open-gop=1:bframes=3")
_made("one key picture at the start alone", *X264, "-g", "999")
_made("every picture a key", *X264, "-g", "1")
_made("pixels twice as wide", *X264, "-vf", "setsar=2/1")
_made("pixels of an old television", *X264, "-vf", "setsar=8/9")
_made("pixels a hundred times as wide", *X264, "-vf", "setsar=100/1")
_made("hdr tags", *X264, "-color_primaries", "bt2020", "-color_trc", "arib-std-b67", "-colorspace", "bt2020nc")
_made("an odd size", "-c:v", "ffv1", "-pix_fmt", "gray", inputs=source("163x121"), suffix=".mkv")
_made("an odd cropping", "-c:v", "libx264", "-pix_fmt", "yuv444p", inputs=source("163x121"))
_made("1 picture a second", *X264, inputs=source(rate=1, seconds=20))
_made("1000 frames a second", *X264, inputs=source(rate=1000, seconds=0.1))
_made(
    "5000 frames a second",
    *X264,
    "-video_track_timescale",
    "90000",
    inputs=source(rate=5000, seconds=0.02),
    ends="false_times",
)
_made("one picture", *X264, "-frames:v", "1", ends="too_short")
_made("five pictures", *X264, "-frames:v", "5", ends="too_short")
_made("too narrow a picture", *X264, inputs=source("640x64"), ends="too_small")
_made("in fragments", *X264, "-movflags", "frag_keyframe+empty_moov", "-g", "6", inputs=(*source(), *TONE))
_made("in fragments of one picture", *X264, "-movflags", "frag_every_frame+empty_moov", inputs=(*source(), *TONE))
_made("a live recording", "-c:v", "libvpx", "-f", "webm", "-live", "1", suffix=".webm")
_made("sound of eight channels in an order of their own", *X264, "-c:a", "pcm_s16le", inputs=WIDE, suffix=".mov")
_made("sound of 192 kilohertz", *X264, "-c:a", "pcm_f32le", inputs=WIDE, suffix=".mkv")
_made("sound in flac", *X264, "-c:a", "flac", inputs=(*source(), *TONE), suffix=".mkv")
_made("sound in opus", *X264, "-c:a", "libopus", inputs=(*source(), *TONE))
_made("sound that starts later", *X264, inputs=(*source(), "-itsoffset", "0.5", *TONE))
_made("sound that starts earlier", *X264, "-vsync", "0", inputs=("-itsoffset", "0.5", *source(), *TONE))
_made(
    "sound that starts an hour later",
    *X264,
    "-c:a",
    "aac",
    inputs=(*source(), "-itsoffset", "3600", *TONE),
    suffix=".mkv",
    ends="too_long",
)
_made("sound longer than the film", *X264, "-c:a", "aac", inputs=(*source(), "-f", "lavfi", "-i", "sine=d=90"))
_made("a time code", *X264, "-timecode", "01:02:03:04", suffix=".mov")
_made("chapters and place", *X264, "-metadata", "location=+00.0000+000.0000/", "-metadata", "title=\u202eswing\n\x07")


@kind(OK, suffix=".mkv")
def subtitles(path: Path) -> None:
    words = path.with_name("words.srt")
    words.write_text("1\n00:00:00,000 --> 00:00:00,500\n<font face='x'>A swing</font>\n")
    ffmpeg(path, *X264, "-c:s", "srt", inputs=(*source(), "-i", str(words)))


@kind(OK)
def two_films_in_one_file(path: Path) -> None:
    ffmpeg(path, *X264, "-map", "0", "-map", "1", inputs=(*source("96x96"), *source("320x240")))


@kind(OK)
def a_film_with_a_cover(path: Path) -> None:
    cover = path.with_name("cover.png")
    ffmpeg(cover, "-frames:v", "1", inputs=source("640x480"))
    inputs = (*source(), "-i", str(cover))
    ffmpeg(
        path,
        "-map",
        "0",
        "-map",
        "1",
        "-c:v:0",
        "libx264",
        "-c:v:1",
        "png",
        "-disposition:v:1",
        "attached_pic",
        inputs=inputs,
    )


@kind("too_large")
def seventeen_streams(path: Path) -> None:
    ffmpeg(path, *X264, "-map", "0:v", *["-map", "1:a"] * 17, inputs=(*source(), *TONE))


@kind(OK)
def a_good_clip(path: Path) -> None:
    path.write_bytes(clip())


@kind(OK, suffix=".mkv")
def a_good_matroska(path: Path) -> None:
    path.write_bytes(clip(".mkv"))

"""Files that hold no film, whatever their name says."""

from __future__ import annotations

import io
import os
import random
import zipfile
from pathlib import Path

from PIL import Image

from .good import TONE, clip, source
from .kinds import OK, ffmpeg, kind

NOISE = random.Random(7)
TEXTS = {
    "a playlist": "#EXTM3U\n#EXT-X-TARGETDURATION:5\n#EXTINF:5,\nfile:///etc/hostname\n#EXT-X-ENDLIST\n",
    "a playlist of an address": "#EXTM3U\n#EXTINF:5,\nhttp://127.0.0.1:9/a.ts\n",
    "a list of files": "ffconcat version 1.0\nfile '/etc/hostname'\n",
    "a list of files without a head": "file '/etc/hostname'\n",
    "a drawing": '<svg xmlns="http://www.w3.org/2000/svg"><image href="file:///etc/hostname"/></svg>',
    "a page": "<!doctype html><html><body><video src='swing.mp4'></video></body></html>",
    "a session description": "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\nm=video 9 RTP/AVP 96\n",
    "a manifest": '<?xml version="1.0"?><MPD xmlns="urn:mpeg:dash:schema:mpd:2011"></MPD>',
    "a script": "#!/bin/sh\nrm -rf ~\n",
}


def _text(name: str, words: str) -> None:
    @kind("not_video", name=name)
    def write(path: Path) -> None:
        path.write_text(words)


for _name, _words in TEXTS.items():
    _text(_name, _words)


@kind("empty")
def no_bytes(path: Path) -> None:
    path.touch()


@kind("not_video")
def one_byte(path: Path) -> None:
    path.write_bytes(b"\0")


@kind("not_video")
def noise(path: Path) -> None:
    path.write_bytes(NOISE.randbytes(50_000))


@kind("not_video")
def zeros(path: Path) -> None:
    path.write_bytes(bytes(100_000))


@kind("not_video", "truncated", "broken_index")
def noise_behind_an_mp4s_head(path: Path) -> None:
    path.write_bytes(clip()[:32] + NOISE.randbytes(50_000))


@kind("not_video", suffix=".mkv")
def noise_behind_a_matroskas_head(path: Path) -> None:
    path.write_bytes(clip(".mkv")[:40] + NOISE.randbytes(50_000))


@kind("truncated")
def a_head_alone(path: Path) -> None:
    path.write_bytes(b"\0\0\0\x18ftypisom\0\0\0\0isomavc1")


@kind("not_video", suffix=".mkv")
def a_matroskas_mark_alone(path: Path) -> None:
    path.write_bytes(b"\x1a\x45\xdf\xa3")


@kind("not_video")
def an_archive(path: Path) -> None:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        archive.writestr("swing.mp4", clip())
    path.write_bytes(held.getvalue())


@kind("not_video")
def a_photo(path: Path) -> None:
    Image.new("RGB", (640, 480)).save(path, "JPEG")


@kind("not_video")
def a_moving_picture_of_the_web(path: Path) -> None:
    ffmpeg(path, "-f", "gif", inputs=source())


@kind("not_video")
def a_phones_photo(path: Path) -> None:
    path.write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(500))


@kind("not_video")
def a_transport_stream(path: Path) -> None:
    ffmpeg(path, "-f", "mpegts", inputs=(*source(), *TONE))


@kind("not_video")
def an_avi(path: Path) -> None:
    ffmpeg(path, "-f", "avi", inputs=(*source(), *TONE))


@kind("not_video")
def a_flash_film(path: Path) -> None:
    ffmpeg(path, "-f", "flv", "-ar", "44100", inputs=(*source(), *TONE))


@kind("not_video")
def an_mpeg_program(path: Path) -> None:
    ffmpeg(path, "-f", "mpeg", "-r", "30", inputs=source())


@kind("not_video")
def bare_h264(path: Path) -> None:
    ffmpeg(path, "-c:v", "libx264", "-f", "h264", inputs=source())


@kind("not_video")
def a_wave(path: Path) -> None:
    ffmpeg(path, "-f", "wav", inputs=TONE)


@kind("no_picture")
def sound_alone(path: Path) -> None:
    ffmpeg(path, inputs=TONE)


@kind("no_picture")
def sound_with_a_cover(path: Path) -> None:
    cover = path.with_name("cover.png")
    Image.new("RGB", (320, 320)).save(cover)
    inputs = (*TONE, "-i", str(cover))
    ffmpeg(path, "-map", "0", "-map", "1", "-c:v", "png", "-disposition:v:0", "attached_pic", inputs=inputs)


@kind("not_there")
def no_file(path: Path) -> None:
    """Nothing is written."""


@kind("not_there")
def a_folder(path: Path) -> None:
    path.mkdir()


@kind("not_there")
def a_pipe(path: Path) -> None:
    os.mkfifo(path)


@kind("not_there")
def a_device(path: Path) -> Path:
    return Path("/dev/zero")


@kind("not_there")
def a_link_to_nowhere(path: Path) -> None:
    path.symlink_to(path.with_name("gone"))


@kind("not_there")
def a_link_to_itself(path: Path) -> None:
    path.symlink_to(path)


@kind(OK)
def a_link_to_a_clip(path: Path) -> None:
    real = path.with_name("real.mp4")
    real.write_bytes(clip())
    path.symlink_to(real)


@kind(OK)
def a_name_of_two_lines(path: Path) -> Path:
    odd = path.with_name("two\nlines:%s -y.mp4")
    odd.write_bytes(clip())
    return odd


@kind(OK)
def a_name_that_is_no_text(path: Path) -> Path:
    odd = Path(os.fsdecode(os.fsencode(path.parent) + b"/\xff\xfe.mp4"))
    odd.write_bytes(clip())
    return odd


@kind(OK)
def a_name_like_an_address(path: Path) -> Path:
    odd = path.with_name("http:127.0.0.1.mp4")
    odd.write_bytes(clip())
    return odd

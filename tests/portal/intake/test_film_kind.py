"""A film is told by its first bytes, in Python and in the browser alike."""

import json
import shutil
import subprocess
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image

from portal.intake.film_kind import HEAD, FilmKind, kind_of
from tests.films.numbered import write_clip

CASES = {
    "mp4": (b"\0\0\0\x20ftypisom", "film"),
    "mov": (b"\0\0\0\x14ftypqt  ", "film"),
    "old quicktime": (b"\0\0\0\x08wide\0\0\0\0mdat", "film"),
    "webm": (b"\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01\x42\xf7\x81", "film"),
    "iphone photo": (b"\0\0\0\x24ftypheic", "photo"),
    "avif": (b"\0\0\0\x20ftypavif", "photo"),
    "jpeg": (b"\xff\xd8\xff\xe1\0\0Exif\0\0\0\0", "photo"),
    "png": (b"\x89PNG\r\n\x1a\n\0\0\0\0", "photo"),
    "text": (b"This is text, renamed.", "other"),
    "sound": (b"ID3\x04\0\0\0\0\0\0\0\0", "other"),
    "short": (b"\0\0\0\x18fty", "other"),
    "empty": (b"", "other"),
}
MODULE = Path(__file__).resolve().parents[3] / "static/js/intake/film_kind.js"


@pytest.mark.parametrize("case", CASES)
def test_first_bytes_tell(case):
    head, kind = CASES[case]
    assert kind_of(head) is FilmKind(kind)


@pytest.mark.skipif(
    shutil.which("node") is None, reason="node is not installed, so the browser's module cannot be asked"
)
def test_the_browsers_module_agrees():
    heads = {name: list(head) for name, (head, _) in CASES.items()}
    script = (
        f"import {{ kindOf }} from {json.dumps(MODULE.as_uri())};"
        f"const heads = {json.dumps(heads)};"
        "console.log(JSON.stringify(Object.fromEntries("
        "Object.entries(heads).map(([n, h]) => [n, kindOf(new Uint8Array(h))]))));"
    )
    run = subprocess.run(["node", "--input-type=module", "-e", script], capture_output=True, text=True, check=True)
    assert json.loads(run.stdout) == {name: kind for name, (_, kind) in CASES.items()}


@pytest.mark.parametrize(("suffix", "codec"), [(".mp4", "h264"), (".mov", "h264"), (".webm", "vp9")])
def test_what_ffmpeg_writes_is_a_film(tmp_path, suffix, codec):
    """Against files of ffmpeg's own muxers (through PyAV)."""
    path = tmp_path / f"film{suffix}"
    write_clip(path, frames=2, size=(64, 48), codec=codec)
    assert kind_of(path.read_bytes()[:HEAD]) is FilmKind.FILM


def test_a_sound_file_of_ffmpeg_is_no_film(tmp_path):
    path = tmp_path / "sound.wav"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("pcm_s16le", rate=8000, layout="mono")
        silence = av.AudioFrame.from_ndarray(np.zeros((1, 800), np.int16), layout="mono")
        silence.rate = 8000
        out.mux(stream.encode(silence))
    assert kind_of(path.read_bytes()[:HEAD]) is FilmKind.OTHER


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "GIF"])
def test_what_pillow_writes_is_a_photo(tmp_path, kind):
    path = tmp_path / "photo.mp4"
    Image.new("RGB", (8, 8)).save(path, kind)
    assert kind_of(path.read_bytes()[:HEAD]) is FilmKind.PHOTO

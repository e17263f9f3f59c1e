"""The browser's files: each frame is the frame it says, and nothing the phone wrote is handed on.

Outside checks: the number each frame carries, ffprobe's packet table, Pillow and PyAV as readers.
"""

from __future__ import annotations

import base64
import errno
import io
import itertools
import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from PIL import Image

from analysis.tracks import Tracks
from analysis.watch.copy import GOP, copy_size
from analysis.watch.decode import frames
from analysis.watch.errors import ClipError
from analysis.watch.products import Products, named_frames
from analysis.watch.sound import RATE
from analysis.watch.sound_copy import over_pictures
from analysis.watch.stills import Stills, pack_ranges
from tests.films.numbered import SOUND_RATE, frame_picture, frame_times, read_number, write_clip
from tests.products import write_products

pytestmark = pytest.mark.slow  # real video files

COUNT = 90
PLACE = b"+41.2345-093.1234/"


def tracks_of(path: Path) -> Tracks:
    """Tracks of a clip in which nobody was seen: products need only its frames and times."""
    found = list(frames(path))
    width, height = found[0].size
    facts = {"name": path.name, "sha256": "0", "width": width, "height": height, "rotation": 0, "codec": "h264"}
    facts |= {"container": "mov", "frames": COUNT, "duration_s": 3.0, "nominal_fps": 30.0, "measured_fps": 30.0}
    facts |= {"variable_rate": True, "capture_fps": None, "has_sound": False}
    empty = {name: np.full((COUNT, *shape), np.nan, np.float32) for name, shape in SHAPES.items()}
    return Tracks(
        clip=facts,
        watch={"version": 1},
        time_s=np.array([frame.time_s for frame in found]),
        camera=np.tile(np.eye(3, dtype=np.float32), (COUNT, 1, 1)),
        bat_confidence=np.zeros(COUNT, np.float32),
        **empty,
    )


SHAPES = {
    "keypoints_px": (33, 2),
    "visibility": (33,),
    "world_m": (33, 3),
    "box_px": (4,),
    "bat_px": (2, 2),
    "ball_px": (2,),
}


KNOCKS_S = [0.5, 1.25, 2.5]


def knocks() -> np.ndarray:
    """Three seconds in which a tone begins at the times of KNOCKS_S."""
    wave = np.zeros(3 * SOUND_RATE)
    tone = 0.8 * np.sin(2 * np.pi * 1000 * np.arange(SOUND_RATE // 20) / SOUND_RATE)
    for at in KNOCKS_S:
        wave[round(at * SOUND_RATE) :][: len(tone)] = tone
    return wave


def a_result() -> dict[str, Any]:
    """The part of a result that products look at: one swing with two instants known."""
    moments = {"foot_down": {"frame": 41}, "contact": {"frame": 50}, "finish": {"frame": None}}
    return {"swings": [{"index": 0, "start_frame": 30, "end_frame": 60, "instants": moments}]}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Tracks]:
    """Products of a turned clip of variable rate that carries a place in its metadata."""
    folder = tmp_path_factory.mktemp("products")
    plain, clip = folder / "plain.mp4", folder / "clip.mov"
    times = frame_times(COUNT, 30, 0.6)
    write_clip(plain, frames=COUNT, fps=30, size=(360, 640), rotation=90, times=times, sound=knocks())
    data = plain.read_bytes()
    clip.write_bytes(data + len(PLACE + b"12345678").to_bytes(4, "big") + b"free" + PLACE)
    tracks = tracks_of(clip)
    write_products(clip, tracks, a_result(), folder / "out")
    return folder / "out", tracks


def test_every_still_shows_its_frame(made: tuple[Path, Tracks]) -> None:
    folder, _ = made
    index = json.loads((folder / "stills.json").read_text())
    assert index["schema"] == 1
    seen = []
    for pack in index["packs"]:
        data = (folder / pack["file"]).read_bytes()
        assert pack["file"] == f"stills-{pack['first']}-{pack['last']}.pack"
        assert len(pack["offsets"]) == pack["last"] - pack["first"] + 2
        assert pack["offsets"][-1] == len(data)
        for start, end in zip(pack["offsets"][:-1], pack["offsets"][1:], strict=True):
            picture = Image.open(io.BytesIO(data[start:end]))
            assert picture.size == (index["width"], index["height"])
            seen.append(read_number(picture.convert("RGB")))
    assert seen == list(range(COUNT))


def test_the_swing_lies_in_a_pack_of_its_own(made: tuple[Path, Tracks]) -> None:
    packs = json.loads((made[0] / "stills.json").read_text())["packs"]
    swing = [pack for pack in packs if pack["first"] <= 30 and pack["last"] >= 60]
    assert len(swing) == 1
    assert swing[0]["first"] > 10
    assert swing[0]["last"] < 80


def test_every_sample_of_the_copy_decodes_to_its_frame_through_the_table_alone(made: tuple[Path, Tracks]) -> None:
    folder, tracks = made
    table = json.loads((folder / "review.samples.json").read_text())
    assert (table["frames"], table["width"], table["height"]) == (COUNT, 360, 640)
    assert table["codec"].startswith("avc1.")
    np.testing.assert_allclose(table["time_s"], tracks.time_s, atol=1e-6)
    decoder = av.CodecContext.create("h264", "r")
    decoder.extradata = base64.b64decode(table["description"])
    data = (folder / "review.mp4").read_bytes()
    shown = []
    for offset, size, key in table["samples"]:
        assert key in (0, 1)
        packet = av.Packet(data[offset : offset + size])
        shown.extend(decoder.decode(packet))
    shown.extend(decoder.decode(None))
    assert [read_number(frame.to_ndarray(format="rgb24")) for frame in shown] == list(range(COUNT))
    keys = [index for index, sample in enumerate(table["samples"]) if sample[2]]
    assert keys == list(range(0, COUNT, GOP))


@pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe (Debian's ffmpeg) is not installed")
def test_the_table_is_what_ffprobe_sees(made: tuple[Path, Tracks]) -> None:
    folder, _ = made
    entries = ["-show_entries", "packet=pos,size,flags,pts:stream=has_b_frames,color_space,start_pts", "-of", "json"]
    done = subprocess.run(
        ["ffprobe", "-v", "error", *entries, str(folder / "review.mp4")], capture_output=True, check=True, text=True
    )
    probed = json.loads(done.stdout)
    table = json.loads((folder / "review.samples.json").read_text())
    packets = [[int(p["pos"]), int(p["size"]), int(p["flags"].startswith("K"))] for p in probed["packets"]]
    assert packets == table["samples"]
    steps = np.diff([int(packet["pts"]) for packet in probed["packets"]])
    assert len(set(steps.tolist())) == 1  # a constant rate
    assert probed["streams"][0] == {"has_b_frames": 0, "color_space": "bt709", "start_pts": 0}


def test_nothing_the_phone_wrote_is_handed_on(made: tuple[Path, Tracks]) -> None:
    folder, _ = made
    assert (folder / "sound.flac").is_file()
    for path in folder.iterdir():
        data = path.read_bytes()
        for trace in (PLACE, b"ISO6709", b"\xa9xyz", b"com.apple", b"com.android", b"Exif", b"Lavf"):
            assert trace not in data, (path.name, trace)
    copy = (folder / "review.mp4").read_bytes()
    assert b"elst" not in copy  # no edit list
    assert copy.index(b"moov") < copy.index(b"mdat")  # plays while it loads


def test_a_knock_is_heard_at_its_own_time_in_the_sound_for_the_browser(made: tuple[Path, Tracks]) -> None:
    folder, tracks = made
    assert json.loads((folder / "review.samples.json").read_text())["sound"] is True
    with av.open(str(folder / "sound.flac")) as file:
        wave = np.concatenate([frame.to_ndarray()[0] for frame in file.decode(audio=0)]).astype(float) / 32768
        rate = file.streams.audio[0].rate
    assert len(wave) == round(tracks.clip["duration_s"] * rate)
    loud = np.flatnonzero(np.abs(wave) > 0.2) / rate
    begun = loud[np.flatnonzero(np.diff(loud, prepend=-1.0) > 0.1)]
    np.testing.assert_allclose(begun, KNOCKS_S, atol=0.003)


def test_a_clip_without_sound_has_none_and_says_so(tmp_path: Path) -> None:
    for name, sound in (("none", None), ("silence", np.zeros(SOUND_RATE))):
        clip, folder = tmp_path / f"{name}.mp4", tmp_path / name
        write_clip(clip, frames=COUNT, fps=30, size=(160, 120), sound=sound)
        write_products(clip, tracks_of(clip), a_result(), folder)
        assert json.loads((folder / "review.samples.json").read_text())["sound"] is False
        assert not (folder / "sound.flac").exists()


@pytest.mark.parametrize(("late", "first", "last"), [(0, 1, 8), (2, 0, 6), (-2, 3, 10), (9, 0, 0), (-20, 0, 0)])
def test_sound_is_laid_over_the_pictures_by_its_own_time(late: int, first: int, last: int) -> None:
    laid = over_pictures(np.arange(1, 13) / 32767, late / RATE, 8 / RATE)
    assert len(laid) == 8
    assert (laid[0], laid[-1]) == (first, last)


def test_pictures_of_the_instants_and_a_poster_are_there(made: tuple[Path, Tracks]) -> None:
    folder, _ = made
    assert read_number(Image.open(folder / "instant-0-contact.jpg").convert("RGB")) == 50
    assert read_number(Image.open(folder / "poster.jpg").convert("RGB")) == 41
    assert max(Image.open(folder / "thumb-0-foot_down.jpg").size) == 320
    assert not (folder / "instant-0-finish.jpg").exists()


def test_without_a_swing_there_is_still_a_poster() -> None:
    assert named_frames({"swings": []}, 100) == {50: ["poster"]}


@pytest.mark.parametrize(
    ("size", "expected"),
    [((3840, 2160), (1280, 720)), ((1080, 1920), (720, 1280)), ((426, 320), (426, 320)), ((1440, 1080), (960, 720))],
)
def test_the_copy_fits_720p_and_never_grows(size: tuple[int, int], expected: tuple[int, int]) -> None:
    assert copy_size(*size) == expected


@pytest.mark.parametrize("swings", [[], [(0, 5)], [(40, 80), (70, 120)], [(190, 400)], [(-5, 3)]])
def test_packs_cover_every_frame_once(swings: list[tuple[int, int]]) -> None:
    covered = [index for first, last in pack_ranges(200, swings) for index in range(first, last + 1)]
    assert covered == list(range(200))


def test_packs_of_other_frames_than_those_added_are_refused(tmp_path: Path) -> None:
    stills = Stills(tmp_path)
    for _ in range(3):
        stills.add(np.zeros((16, 16, 3), np.uint8))
    with pytest.raises(ValueError, match=r"not those of 3 stills"):
        stills.divide([(0, 1)])
    assert [pack["file"] for pack in stills.divide([(0, 1), (2, 2)])] == ["stills-0-1.pack", "stills-2-2.pack"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["stills-0-1.pack", "stills-2-2.pack"]


def test_stills_lie_in_several_files_until_they_are_packed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("analysis.watch.stills.PART_BYTES", 2000)
    stills = Stills(tmp_path)
    for number in range(20):
        stills.add(frame_picture(number, 160, 120))
    assert len(list(tmp_path.glob("stills.*.part"))) > 3
    shown = []
    for pack in stills.divide([(0, 6), (7, 7), (8, 19)]):
        data, ends = (tmp_path / pack["file"]).read_bytes(), pack["offsets"]
        assert ends[-1] == len(data)
        shown += [read_number(Image.open(io.BytesIO(data[a:b])).convert("RGB")) for a, b in itertools.pairwise(ends)]
    assert shown == list(range(20))
    assert not list(tmp_path.glob("*.part"))


def test_a_clip_that_is_refused_on_the_way_leaves_no_file(tmp_path: Path) -> None:
    clip = tmp_path / "clip.mp4"
    write_clip(clip, frames=20, fps=30, size=(160, 120))

    def half_of_it() -> None:
        with Products(clip, tmp_path / "out") as products:
            for frame in frames(clip):
                products.add(frame)
                if frame.index == 10:
                    raise ClipError("nobody", "We can't find a hitter in this clip.")

    with pytest.raises(ClipError):
        half_of_it()
    assert list((tmp_path / "out").iterdir()) == []


def test_a_disk_that_takes_no_more_is_told_while_frames_still_come(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clip = tmp_path / "clip.mp4"
    write_clip(clip, frames=20, fps=30, size=(160, 120))

    def full(_stills: Stills, _picture: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(Stills, "add", full)
    taken = []

    def all_of_it() -> None:
        with Products(clip, tmp_path / "out") as products:
            for frame in frames(clip):
                products.add(frame)
                taken.append(frame.index)

    with pytest.raises(OSError, match="No space left"):
        all_of_it()
    assert 0 < len(taken) < 20
    assert list((tmp_path / "out").iterdir()) == []


def test_the_copy_plays_at_the_rate_that_was_measured_not_the_one_claimed(tmp_path: Path) -> None:
    clip = tmp_path / "clip.mp4"
    write_clip(clip, frames=COUNT, fps=30, size=(160, 120))
    tracks = tracks_of(clip)
    tracks.clip["measured_fps"] = 59.94
    write_products(clip, tracks, a_result(), tmp_path / "out")
    with av.open(str(tmp_path / "out" / "review.mp4")) as film:
        assert film.streams.video[0].average_rate == 60
        assert [round(frame.time * 60) for frame in film.decode(video=0)] == list(range(COUNT))

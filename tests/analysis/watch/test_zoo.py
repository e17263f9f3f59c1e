"""The zoo of hostile and odd files: each is measured or refused in words, in little memory, and nothing falls over."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import pytest

from tests.films.zoo import KINDS, OK, Kind
from tests.films.zoo.keeper import FirstSteps

Told = Callable[[Kind], dict[str, Any]]

pytestmark = [
    pytest.mark.slow,  # real video files
    pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="ffmpeg (Debian's) is not installed"),
]

MOST_MB = 1000
MOST_SECONDS = 100.0

# What each refusal has to say. Codes are for programs; a family reads the words.
SAID = {
    "broken_index": ("index of this clip is broken", "beside the film"),
    "changing_picture": ("on the way",),
    "damaged": ("most of its pictures can't be decoded",),
    "elsewhere": ("only points at another file",),
    "empty": ("file is empty",),
    "false_times": ("times in this file", "could be trusted"),
    "no_picture": ("no moving picture",),
    "not_there": ("There is no file", "is no file that holds a film", "can't be opened"),
    "not_video": (
        "not a video",
        "can't be read",
        "is a photo",
        "can't be decoded",
        "can be decoded",
        "packed in a way",
    ),
    "too_heavy": ("far more than a film from a phone",),
    "too_large": ("larger than 4K", "too many streams"),
    "too_long": ("at most 2 minutes", "too many frames"),
    "too_short": ("only a few pictures",),
    "too_small": ("too small to see a hitter",),
    "truncated": ("cut off",),
    "unpacks": ("unpacks to far more than a film can",),
}


@pytest.fixture(scope="module")
def first_steps() -> Iterator[FirstSteps]:
    with FirstSteps() as process:
        yield process


@pytest.fixture(scope="module")
def told_of(first_steps: FirstSteps, tmp_path_factory: pytest.TempPathFactory) -> Told:
    """How opening and decoding a kind of file ended. Each is made and opened once, whatever is asked of it."""

    @cache
    def take(kind: Kind) -> dict[str, Any]:
        folder = tmp_path_factory.mktemp("kind")
        told = first_steps.take(kind.make(folder))
        shutil.rmtree(folder)
        return told

    return take


def test_the_zoo_is_large() -> None:
    assert len(KINDS) >= 200


@pytest.mark.parametrize("kind", KINDS.values(), ids=str)
def test_a_hostile_or_odd_file_ends_in_words_or_is_decoded(kind: Kind, told_of: Told) -> None:
    told = told_of(kind)
    assert told["end"] in kind.ends, told["words"]
    if told["end"] != OK:
        assert any(said in told["words"] for said in SAID[told["end"]]), told["words"]
        assert told["words"].endswith(".")
    assert told["most_mb"] < MOST_MB
    assert told["seconds"] < MOST_SECONDS


@pytest.mark.parametrize("name", [name for name in KINDS if name.startswith("begins at") or "longer recording" in name])
def test_times_count_from_the_first_picture_wherever_the_film_begins(name: str, told_of: Told) -> None:
    told = told_of(KINDS[name])
    assert told["facts"]["duration_s"] == pytest.approx(0.8, abs=0.01)
    assert told["facts"]["declared_duration_s"] < 2.0
    start, end = told["sound_s"]
    assert start == pytest.approx(0.0, abs=0.1)
    assert end == pytest.approx(0.8, abs=0.1)


@pytest.mark.parametrize(
    ("name", "start", "end"),
    [("sound that starts later", 0.5, 1.3), ("sound that starts earlier", -0.5, 0.3)],
)
def test_sound_keeps_its_place_beside_the_pictures(name: str, start: float, end: float, told_of: Told) -> None:
    told = told_of(KINDS[name])
    assert told["sound_s"] == pytest.approx([start, end], abs=0.1)


@pytest.mark.parametrize(("name", "mended"), [("one time twice", 1), ("one picture out of order", 1)])
def test_a_single_slip_of_time_is_mended_and_told(name: str, mended: int, told_of: Told) -> None:
    told = told_of(KINDS[name])
    assert told["facts"]["mended_times"] == mended


@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("pixels twice as wide", (160, 60)),
        ("pixels of an old television", (142, 120)),
        ("pixels a hundred times as wide", (160, 120)),
        ("the picture grows", (160, 120)),
        ("the picture shrinks", (320, 240)),
        ("the picture of a call that adapts", (320, 240)),
        ("two films in one file", (320, 240)),
    ],
)
def test_every_picture_of_a_clip_has_one_size_in_square_pixels(name: str, size: tuple[int, int], told_of: Told) -> None:
    facts = told_of(KINDS[name])["facts"]
    assert (facts["width"], facts["height"]) == size

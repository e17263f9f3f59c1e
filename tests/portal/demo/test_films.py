"""Which film goes to whom, and the two things done to a file."""

import hashlib
import subprocess

import pytest

from portal.demo import cast, films
from portal.demo.cast import Hitter
from portal.demo.films import Film
from portal.intake.film_kind import kind_of
from tests.films.numbered import write_clip


@pytest.fixture
def cabinet(settings, tmp_path):
    """Films by name, hand and person, lying where the repository has its own."""
    settings.BASE_DIR = tmp_path
    folder = tmp_path / films.FOLDER
    folder.mkdir(parents=True)

    def add(name: str, hand: str, person: str) -> None:
        (folder / f"{name}.mp4").write_bytes(name.encode())
        (folder / f"{name}.json").write_text(f'{{"film": {{"hand": "{hand}", "person": "{person}"}}}}')

    return add


def hitter(hits: str, age: int) -> Hitter:
    return Hitter("A", "B", age, hits, "lea")


def test_films_without_their_truth_are_left_out(cabinet, settings):
    cabinet("ash", "right", "adult")
    (settings.BASE_DIR / films.FOLDER / "half.mp4").touch()
    assert [film.path.stem for film in films.films()] == ["ash"]


def test_no_film_is_said(cabinet):
    with pytest.raises(films.NoFilms, match="tests/films/out"):
        films.films()


def test_every_kind_of_hitter_comes_before_a_second_of_a_kind(cabinet):
    for name in ("a", "b", "c", "d"):
        cabinet(name, "right", "adult")
    cabinet("e", "left", "adult")
    cabinet("f", "right", "child")
    assert [film.path.stem for film in films.films()] == ["a", "e", "f", "b"]


def test_a_player_gets_a_film_of_their_hand_and_age(tmp_path):
    known = [
        Film(tmp_path / f"{hand}{person}", hand, person) for hand in ("left", "right") for person in ("adult", "child")
    ]
    wanted = [hitter("left", 17), hitter("right", 11), hitter("left", 9), hitter("right", 20)]
    chosen = films.choose(wanted, known)
    assert [(film.hand, film.person) for film in chosen] == [
        ("left", "adult"), ("right", "child"), ("left", "child"), ("right", "adult"),
    ]  # fmt: skip


def test_two_players_alike_get_different_films_where_there_are_two(tmp_path):
    known = [Film(tmp_path / name, "right", "adult") for name in "ab"]
    assert films.choose([hitter("right", 18), hitter("right", 30)], known) == known


def test_another_copy_is_a_file_of_its_own_with_the_same_frames(tmp_path):
    """ffprobe (Debian's ffmpeg), which we did not make, decodes the same number of frames."""
    original, copy = tmp_path / "a.mp4", tmp_path / "b.mp4"
    write_clip(original, frames=12, size=(320, 180))
    copy.write_bytes(films.another_copy(original.read_bytes()))
    assert hashlib.sha256(copy.read_bytes()).digest() != hashlib.sha256(original.read_bytes()).digest()
    assert films.another_copy(b"x") != films.another_copy(b"x")
    assert kind_of(copy.read_bytes()[:64]) == kind_of(original.read_bytes()[:64])
    assert frames_of(copy) == frames_of(original) == 12


def frames_of(path) -> int:
    command = [
        "ffprobe",
        "-v",
        "error",
        "-count_frames",
        "-select_streams",
        "v:0",
        "-show_entries",
        "stream=nb_read_frames",
    ]
    try:
        done = subprocess.run([*command, "-of", "csv=p=0", str(path)], capture_output=True, text=True, check=True)
    except FileNotFoundError:
        pytest.skip("ffprobe is not installed")
    return int(done.stdout)


def test_the_cast_stands_in_every_state():
    stories = {one.story for one in cast.HITTERS}
    assert stories == {
        "published", "in_review", "ready", "film_again", "unreadable", "withdrawn", "live", "uploading", "",
    }  # fmt: skip
    assert len(cast.HITTERS) >= 12
    assert all(adult.email.endswith(".example") for adult in cast.ADULTS)
    assert {one.guardian for one in cast.HITTERS} == {adult.key for adult in cast.GUARDIANS}

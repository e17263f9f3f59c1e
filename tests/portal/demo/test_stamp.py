"""A demo once made is not made again, and nothing but a demo is ever deleted."""

import pytest

from portal.demo import films, stamp


@pytest.fixture
def folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path / "demo"
    return settings.DATA_DIR


def test_a_demo_is_made_once_it_is_stamped(folder):
    assert not stamp.is_made()
    stamp.clear()
    assert not stamp.is_made(), "half a demo is none"
    stamp.write()
    assert stamp.is_made()


def test_new_films_ask_for_a_new_demo(folder, settings, tmp_path, monkeypatch):
    stamp.clear()
    stamp.write()
    film = tmp_path / "new.mp4"
    film.write_bytes(b"new")
    monkeypatch.setattr(films, "films", lambda: [films.Film(film, "right", "adult")])
    assert not stamp.is_made()


def test_an_old_demo_is_cleared_away(folder):
    stamp.clear()
    (folder / "cagenote.sqlite3").write_bytes(b"old")
    (folder / "media").mkdir()
    stamp.clear()
    assert [path.name for path in folder.iterdir()] == [stamp.BEGUN]


def test_a_real_site_is_never_cleared_away(folder):
    folder.mkdir()
    (folder / "cagenote.sqlite3").write_bytes(b"families")
    with pytest.raises(stamp.NotADemo, match="no demo"):
        stamp.clear()
    assert (folder / "cagenote.sqlite3").read_bytes() == b"families"

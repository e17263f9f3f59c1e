"""On disk, footage, database and keys are their owner's alone."""

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.urls import reverse

from portal import env, private_files
from portal.health import checks
from portal.intake.states import State


def open_paths(folder: Path) -> list[str]:
    """Everything beneath the folder, itself too, that group or others may do anything with."""
    paths = [folder, *folder.rglob("*")]
    return [str(path) for path in paths if not path.is_symlink() and path.stat().st_mode & 0o077]


@pytest.fixture
def careless():
    """The machine's usual umask, as before the settings were read."""
    before = os.umask(0o022)
    yield
    os.umask(before)


@pytest.fixture
def old(tmp_path, careless):
    """A data folder of before: everybody reads it."""
    for name in ("media/originals/1", "media/clips/2/ab/poster.jpg", "media/evaluations/3/e.pdf", "redis/dump.rdb",
                 "cagenote.sqlite3", "cagenote.sqlite3-wal", "secret-key", "measuring/x/tracks.npz"):  # fmt: skip
        path = tmp_path / "data" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("x")
    return tmp_path / "data"


@pytest.mark.slow
@pytest.mark.parametrize("module", ["portal.wsgi", "portal.celery", "portal.settings"])
def test_every_process_of_ours_writes_for_its_owner_alone(module, tmp_path, root):
    code = (
        f"import {module}, django.conf, subprocess; django.conf.settings.DEBUG; subprocess.run(['sh', '-c', 'umask'])"
    )
    got = subprocess.run(
        [sys.executable, "-c", code], cwd=root, umask=0o022, capture_output=True, text=True, check=True
    )
    assert got.stdout.split() == ["0077"]


def test_what_is_uploaded_is_its_owners_alone(sign_in, guardian, submission, settings):
    sent = submission(State.UPLOADING)
    body = b"\0\0\0\x18ftypmp42" + b"film" * 1000
    url = reverse("clip_upload", args=[sent.pk])
    answer = sign_in(guardian).post(url, {"clip": SimpleUploadedFile("a.mp4", body)})
    assert answer.status_code == 302
    assert open_paths(Path(settings.MEDIA_ROOT)) == []


def test_storing_does_not_hang_on_the_umask(settings, careless):
    Path(settings.MEDIA_ROOT).mkdir(mode=0o700)
    default_storage.save("clips/1/ab/poster.jpg", ContentFile(b"x"))
    assert open_paths(Path(settings.MEDIA_ROOT)) == []


def test_what_lies_there_open_is_closed_at_the_start(old):
    assert len(open_paths(old)) > 10
    private_files.keep(old, old / "media")
    assert open_paths(old) == []


def test_what_is_none_of_ours_is_left_alone(old):
    (old / "letters").mkdir()
    (old / "letters" / "mine").touch()
    private_files.keep(old, old / "media")
    assert (old / "letters").stat().st_mode & 0o077
    stranger = old.parent / "home"
    stranger.mkdir()
    (stranger / "notes").touch()
    private_files.keep(stranger, stranger / "media")
    assert stat.S_IMODE(stranger.stat().st_mode) == 0o755


def test_the_front_reads_what_is_shown_and_no_original(old):
    group = next(iter(set(os.getgroups()) - {os.getgid()}), os.getgid())
    private_files.keep(old, old / "media", group)
    modes = {name: stat.S_IMODE((old / name).stat().st_mode) for name in (
        ".", "media", "media/clips/2/ab", "media/clips/2/ab/poster.jpg", "media/originals", "media/originals/1",
        "media/incoming", "cagenote.sqlite3", "secret-key",
    )}  # fmt: skip
    assert modes == {
        ".": 0o2710, "media": 0o2750, "media/clips/2/ab": 0o2750, "media/clips/2/ab/poster.jpg": 0o640,
        "media/originals": 0o700, "media/originals/1": 0o600, "media/incoming": 0o700,
        "cagenote.sqlite3": 0o600, "secret-key": 0o600,
    }  # fmt: skip
    assert (old / "media/clips/2/ab/poster.jpg").stat().st_gid == group


def test_the_check_names_what_others_read(old, settings):
    settings.DATA_DIR, settings.MEDIA_ROOT = old, old / "media"
    named = " ".join(message.msg for message in checks.others_read_nothing())
    for name in (str(old), "media", "secret-key", "cagenote.sqlite3"):
        assert name in named
    call_command("keep_private")
    assert checks.others_read_nothing() == []


def test_a_group_is_given_by_name_or_number(monkeypatch):
    monkeypatch.setenv("MEDIA_GROUP", "0")
    assert env.group("MEDIA_GROUP") == 0
    monkeypatch.setenv("MEDIA_GROUP", "root")
    assert env.group("MEDIA_GROUP") == 0
    monkeypatch.delenv("MEDIA_GROUP")
    assert env.group("MEDIA_GROUP") is None
    monkeypatch.setenv("MEDIA_GROUP", "nobody of this name")
    with pytest.raises(ImproperlyConfigured, match="MEDIA_GROUP"):
        env.group("MEDIA_GROUP")

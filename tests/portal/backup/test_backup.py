"""A backup of a site at work, taken back into an empty folder: the same rows, the same files, the same passwords."""

from __future__ import annotations

import hashlib
import io
import json
import os
import stat
import subprocess
import sys
import tarfile
import threading
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.hashers import PBKDF2PasswordHasher
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.db import connection

from portal.backup import archive, making, named, restoring, rows
from portal.desk.models import MarkUp, Rating, Review
from portal.drills.models import Drill
from portal.evaluations import tasks
from portal.evaluations.publish import publish
from portal.intake.states import State
from tests import servers
from tests.portal.backup.tars import written
from tests.portal.conftest import PASSWORD, make_clip, make_measured_clip, make_player, make_submission, make_user

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]
ROOT = Path(__file__).resolve().parents[3]

LOOK = """
import json
from portal.people.models import User
from django.test import Client
from portal.backup import named, rows
from django.db import connection
apps = rows.apps_at(rows.applied())
counts = {m._meta.label: m._base_manager.count() for m in rows.tables(apps)}
user = User.objects.get(email="lea@example.org")
assert user.check_password(PASSWORD)
client = Client(headers={"host": "localhost"})
client.force_login(user, backend="allauth.account.auth_backends.AuthenticationBackend")
from portal.evaluations.models import Evaluation
made = Evaluation.objects.get()
picture = client.get(f"/evaluations/{made.pk}/picture-1.jpg")
pages = [client.get(p).status_code for p in ("/family/", f"/evaluations/{made.pk}/")] + [picture.status_code]
from portal.camps.models import Camp
Camp.objects.create(name="After the restore")  # a number of its own: the counters go on
print("FOUND " + json.dumps({"counts": counts, "pages": pages, "who": user.name}))
"""


@pytest.fixture
def site(products, monkeypatch, settings):
    """A camp with a published player, a draft on the desk, a clip that waits, and an upload that broke off."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.PBKDF2PasswordHasher"]  # that of the processes below
    monkeypatch.setattr(PBKDF2PasswordHasher, "iterations", 1000)  # a hash says how many it took
    monkeypatch.setattr(tasks.make_pdf, "delay", lambda pk: None)
    from portal.camps.models import Camp

    coach = make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.create(name="Lindholt fall camp ⚾")
    camp.coaches.add(coach)
    player = make_player(camp, make_user("lea@example.org", "Lea Sandvall"))
    Drill.objects.create(slug="chalk", title="Chalk", in_short="s", goal="g", set_up={"rounds": 2}, trains=["x"])
    clip = make_measured_clip(make_submission(player, camp, State.IN_REVIEW, reviewer=coach), products)
    review = Review.objects.create(
        submission=clip.submission, clip=clip, good=["Tall."], thing_title="Foot", thing_words="So."
    )
    Rating.objects.create(review=review, checkpoint="down_front_knee", rate="good")
    MarkUp.objects.create(review=review, clip=clip, frame=38, shapes=[], caption="Here")
    publish(review, coach)
    other = make_player(camp, make_user("ruben@example.org", "Ruben Achterberg"), first_name="Joris")
    make_clip(make_submission(other, camp, State.RECEIVED))
    drafted = make_measured_clip(make_submission(other, camp, State.IN_REVIEW, reviewer=coach), products)
    return Review.objects.create(submission=drafted.submission, clip=drafted, greeting="Hi")


def manage(env: dict[str, str], *command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "manage.py", *command], cwd=ROOT, env=env, capture_output=True, text=True, timeout=300
    )


def empty_home(env: dict[str, str], folder: Path, kind: str) -> dict[str, str]:
    """An environment with nothing in it: an empty folder, and a database without a table."""
    url = ""
    if kind == "postgresql":
        name = f"restored_{os.getpid()}"
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE IF EXISTS {name}")
            cursor.execute(f"CREATE DATABASE {name}")
        url = servers.postgres_url(Path(os.environ["CAGENOTE_TESTS_HOME"]), name)
    left = {key: value for key, value in env.items() if key not in ("MEDIA_ROOT", "SECRET_KEY")}
    return {**left, "DATA_DIR": str(folder), "DATABASE_URL": url}


def hashes(root: Path) -> dict[str, str]:
    return {
        str(path.relative_to(root)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in root.rglob("*")
        if path.is_file()
    }


def kinds() -> list[str]:
    """Where a backup of this run's database can be taken back: SQLite anywhere, PostgreSQL where there is one."""
    from django.conf import settings

    engine = settings.DATABASES["default"]["ENGINE"]
    return ["sqlite", "postgresql"] if engine.endswith("postgresql") else ["sqlite"]


def test_a_site_at_work_comes_back_whole(site, process_env, settings, tmp_path):
    """Saved drafts all the while: what is taken back is the site of one moment."""
    stop = threading.Event()

    def write() -> None:
        n = 0
        while not stop.wait(0.01):
            n += 1
            Review.objects.filter(pk=site.pk).update(version=n, greeting=f"Hi {n}")
            Rating.objects.update_or_create(
                review=site, checkpoint="contact_palms", defaults={"rate": "watch", "words": str(n)}
            )
        connection.close()

    writer = threading.Thread(target=write)
    writer.start()
    file = tmp_path / "site.tar"
    env = {**process_env, "SECRET_KEY": "the-old-key-" + "k" * 40, "DATA_DIR": str(tmp_path / "old")}
    try:
        answer = manage(env, "backup", str(file))
    finally:
        stop.set()
        writer.join()
    assert answer.returncode == 0, answer.stderr
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    manifest = archive.verified(file)
    wanted = {one["name"].removeprefix("media/"): one["sha256"] for one in manifest["files"] if "media/" in one["name"]}
    assert wanted == hashes(Path(settings.MEDIA_ROOT))
    assert "the-old-key" not in json.dumps(manifest)
    for kind in kinds():
        folder = tmp_path / kind
        home = empty_home(process_env, folder, kind)
        answer = manage(home, "restore", str(file))
        assert answer.returncode == 0, answer.stderr
        assert (folder / "secret-key").read_text().startswith("the-old-key-")
        assert hashes(folder / "media") == wanted
        looked = manage({**home, "DEBUG": "1"}, "shell", "--no-imports", "-c", LOOK.replace("PASSWORD", repr(PASSWORD)))
        assert looked.returncode == 0, looked.stderr
        found = json.loads(looked.stdout.split("FOUND ")[1])
        assert found["counts"] == manifest["tables"]
        assert (found["pages"], found["who"]) == ([200, 200, 200], "Lea Sandvall")
        again = manage(home, "restore", str(file))
        assert again.returncode != 0
        assert "There is something here already (a database" in again.stderr
        if kind != "sqlite":  # where that is what `tests/portal/privacy/test_no_trace.py` restores with
            assert manage(home, "restore", str(file), "--replace").returncode == 0


def test_every_value_comes_back_as_it_was(site):
    """Times to the microsecond, JSON, UUIDs and empty columns: a dump of what was loaded is the same dump."""
    first = dumped()
    apps = rows.apps_at(rows.applied())
    from django.db import transaction

    with transaction.atomic():
        rows.load(io.StringIO(first), apps)
    assert sorted(dumped().splitlines()) == sorted(first.splitlines())


def dumped() -> str:
    out = io.StringIO()
    with rows.snapshot():
        rows.dump(rows.apps_at(rows.applied()), out)
    return out.getvalue()


def test_the_snapshot_sees_nothing_that_comes_later(site):
    late = threading.Thread(target=_come_late)
    with rows.snapshot():
        late.start()
        late.join()
        out = io.StringIO()
        rows.dump(rows.apps_at(rows.applied()), out)
    assert "late@example.org" in dumped()
    assert "late@example.org" not in out.getvalue()


def _come_late() -> None:
    make_user("late@example.org", "Too Late")
    connection.close()


def test_a_file_that_exists_is_not_written_over(site, tmp_path):
    file = tmp_path / "site.tar"
    file.write_text("mine")
    with pytest.raises(CommandError, match="exists already"):
        call_command("backup", str(file))
    assert file.read_text() == "mine"


def test_a_folder_without_a_site_is_said(process_env, tmp_path):
    answer = manage(empty_home(process_env, tmp_path / "none", "sqlite"), "backup", str(tmp_path / "site.tar"))
    assert (answer.returncode, "There is no site in" in answer.stderr) == (1, True)
    assert not (tmp_path / "site.tar").exists()


def test_a_full_disk_says_so_and_leaves_nothing(site, tmp_path, monkeypatch):
    def full(*_args: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(making, "_add", full)
    with pytest.raises(CommandError, match=r"is full\. No backup was made"):
        call_command("backup", str(tmp_path / "site.tar"))
    assert list(tmp_path.glob("site.tar*")) == []


def test_a_clip_that_was_deleted_meanwhile_is_left_out(site, tmp_path, monkeypatch):
    before = named.named

    def and_delete(apps):
        names = list(before(apps))
        default_storage.delete(names[0])
        return iter(names)

    monkeypatch.setattr(named, "named", and_delete)
    making.back_up(tmp_path / "site.tar")
    assert archive.verified(tmp_path / "site.tar")


def test_the_health_page_knows_the_newest_backup(site, tmp_path, settings):
    settings.DATA_DIR = tmp_path
    assert making.last() is None
    making.back_up(tmp_path / "site.tar")
    assert making.last() is not None


@pytest.mark.parametrize("how", ["a byte changed", "cut off", "no tar", "a file more", "a file less"])
def test_a_damaged_backup_touches_nothing(how, site, tmp_path, settings):
    settings.DATA_DIR = tmp_path
    file = tmp_path / "site.tar"
    making.back_up(file)
    data = bytearray(file.read_bytes())
    if how == "a byte changed":
        with tarfile.open(file) as tar:
            place = next(member.offset_data for member in tar if member.name.endswith("review.mp4"))
        data[place + 100] ^= 1
        file.write_bytes(data)
    elif how == "cut off":
        file.write_bytes(data[: len(data) // 2])
    elif how == "no tar":
        file.write_bytes(b"hello")
    else:
        members = [(name, stream.read()) for name, _size, stream in archive.entries(file)]
        file = written(
            tmp_path / "odd.tar",
            [("media/originals/more", b"x"), *members] if how == "a file more" else members[:-2] + members[-1:],
        )
    before = dumped()
    with pytest.raises(CommandError, match=r"Nothing was changed\."):
        call_command("restore", str(file), "--replace")
    assert dumped() == before


def test_a_backup_of_a_newer_version_is_refused(site, tmp_path):
    with pytest.raises(restoring.Refused, match="made by a newer version"):
        restoring._refuse_newer([("intake", "0001_initial"), ("intake", "9999_someday")])


def test_nothing_is_restored_while_the_site_runs(site, tmp_path, settings):
    from portal.health import run_lock

    settings.DATA_DIR = tmp_path
    making.back_up(tmp_path / "site.tar")
    lock = run_lock.take()
    try:
        with pytest.raises(CommandError, match="runs already"):
            call_command("restore", str(tmp_path / "site.tar"), "--replace")
    finally:
        lock.close()


def test_a_backup_from_before_an_upgrade_is_migrated(site, process_env, tmp_path):
    """Made by the tables of before the newest migration of intake."""
    from django.db.migrations.executor import MigrationExecutor

    executor = MigrationExecutor(connection)
    newest = executor.loader.graph.leaf_nodes()
    executor.migrate([("intake", "0007_mend_doubles")])
    try:
        making.back_up(tmp_path / "old.tar")
    finally:
        MigrationExecutor(connection).migrate(newest)
    home = empty_home(process_env, tmp_path / "new", "sqlite")
    answer = manage(home, "restore", str(tmp_path / "old.tar"))
    assert answer.returncode == 0, answer.stderr
    assert manage(home, "migrate", "--check").returncode == 0

"""One family's data as a ZIP: all of it, readable, and nobody else's."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import PurePath

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse

from portal.evaluations.models import AccessLogEntry, What
from portal.intake import mails
from portal.intake.models import Clip
from portal.intake.states import State
from portal.privacy import takeout
from portal.privacy.views import taking
from tests.portal.conftest import make_measured_clip, make_player, make_submission


def taken(client) -> zipfile.ZipFile:
    answer = client.post(reverse("take_everything"))
    assert answer.status_code == 200
    assert answer.streaming
    return zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content)))


def named(file: zipfile.ZipFile, ending: str) -> bytes:
    (name,) = [name for name in file.namelist() if name.endswith(ending)]
    return file.read(name)


@pytest.fixture
def beside(camp, other_guardian, products):
    """Another family in the same camp."""
    joris = make_player(camp, other_guardian, first_name="Joris", last_name="Achterberg")
    sent = make_submission(joris, camp, State.READY, note="Joris is shy.")
    make_measured_clip(sent, products)
    mails.received(sent)
    return joris


def test_it_holds_everything_in_readable_form(sign_in, guardian, player, measured_clip, evaluation):
    default_storage.save(f"{evaluation.folder}/evaluation.pdf", ContentFile(b"%PDF-1.7"))
    evaluation.keep_pdf(f"{evaluation.folder}/evaluation.pdf")
    player.pronoun = "she"
    player.save(update_fields=["pronoun"])
    file = taken(sign_in(guardian))
    assert file.testzip() is None
    assert b"lea@example.org" in named(file, "README.txt")
    assert json.loads(named(file, "account.json"))["email"] == guardian.email
    told = json.loads(named(file, "player.json"))
    assert (told["id"], told["called"]) == (str(player.pk), "she")
    assert json.loads(named(file, "consents.json"))[0]["given_by"] == "Lea Sandvall"
    assert named(file, "IMG_0142.MOV") == default_storage.open(measured_clip.original.name).read()
    assert named(file, "evaluation.pdf") == b"%PDF-1.7"
    assert json.loads(named(file, "evaluation.json"))["greeting"] == "Hi Ida!"
    rows = list(csv.DictReader(io.StringIO(named(file, "readings.csv").decode())))
    assert rows[0]["checkpoint"] == "setup_base_width"
    assert float(rows[0]["low"]) < float(rows[0]["value"]) < float(rows[0]["high"])
    assert b"Hi Ida" not in named(file, "README.txt")
    assert [name for name in file.namelist() if name.startswith("emails/")]


def test_it_holds_nobody_elses(sign_in, guardian, measured_clip, evaluation, beside):
    file = taken(sign_in(guardian))
    everything = b"\n".join([*(file.read(name) for name in file.namelist()), "\n".join(file.namelist()).encode()])
    foreign = ["Joris", "Achterberg", "ruben@example.org", str(beside.pk), str(beside.submissions.get().pk)]
    foreign += [beside.submissions.get().clips.get().original.name]
    for word in foreign:
        assert word.encode() not in everything, word
    own = {str(measured_clip.original.name)}
    assert {entry.stored for entry in takeout.entries(guardian, guardian.players.all())} >= own


def test_a_childs_own_sign_in_takes_along_its_account_alone(sign_in, player_user, player):
    names = taken(sign_in(player_user)).namelist()
    assert not [name for name in names if name.startswith("players/")]
    assert "account.json" in names


def test_another_guardians_emails_are_left_out(sign_in, guardian, other_guardian, player, submission):
    player.guardians.add(other_guardian)
    mails.received(submission(State.RECEIVED))
    file = taken(sign_in(guardian))
    everything = b"\n".join(file.read(name) for name in file.namelist())
    assert b"ruben@example.org" not in everything


def test_it_is_noted_as_a_look(sign_in, guardian, player):
    taken(sign_in(guardian))
    assert AccessLogEntry.objects.get(what=What.EXPORT).user == guardian


@pytest.mark.parametrize(
    ("came_as", "is_taken_as"),
    [
        ('Zoë "swing" <1>.mp4', "Zoë _swing_ _1_.mp4"),
        ("12:30 what?.mov", "12_30 what_.mov"),
        ("Review-Copy.mp4", "original-Review-Copy.mp4"),
    ],
)
def test_a_clips_own_name_unpacks_everywhere_and_hides_no_other_file(
    sign_in, guardian, measured_clip, came_as, is_taken_as
):
    Clip.objects.filter(pk=measured_clip.pk).update(name=came_as)
    file = taken(sign_in(guardian))
    names = [PurePath(name).name for name in file.namelist()]
    assert is_taken_as in names
    assert names.count("review-copy.mp4") == 1
    assert named(file, is_taken_as) == default_storage.open(measured_clip.original.name).read()


def test_many_in_an_hour_are_refused_kindly(sign_in, guardian, player):
    client = sign_in(guardian)
    for _ in range(taking.MOST):
        taken(client)
    page = client.post(reverse("take_everything"), follow=True)
    assert "Come again in an hour" in page.text


def test_a_film_that_goes_in_this_moment_breaks_nothing(sign_in, guardian, measured_clip):
    default_storage.delete(measured_clip.original.name)
    assert named(taken(sign_in(guardian)), "IMG_0142.MOV") == b""


def test_nothing_large_is_held_in_memory(db):
    default_storage.save("big", ContentFile(b"x" * (3 * takeout.PIECE + 1)))
    pieces = list(takeout.Entry("big", stored="big").pieces())
    assert [len(piece) for piece in pieces] == [takeout.PIECE] * 3 + [1]


@pytest.mark.parametrize("text", ["=1+1", "@cmd", "-2+3"])
def test_a_note_cannot_become_a_formula(text):
    assert takeout._csv(("what",), [(text,)]).splitlines()[1].startswith("'")


def test_a_childs_own_copy_promises_no_film(sign_in, player_user, measured_clip, evaluation):
    """Film and evaluations are a guardian's to take: neither page nor README tells of folders that are not there."""
    client = sign_in(player_user)
    page = client.get(reverse("family")).text
    assert "film too" not in page
    assert "A guardian can take film and evaluations." in page
    file = taken(client)
    assert b"players/" not in named(file, "README.txt")
    assert not [name for name in file.namelist() if "players/" in name]


def test_a_guardians_copy_promises_it(sign_in, guardian, measured_clip):
    client = sign_in(guardian)
    assert "film too" in client.get(reverse("family")).text
    assert b"players/" in named(taken(client), "README.txt")

"""The demo's story, told by the real doors; only the analysis is the stand-in, with the tracks of a computed swing."""

import threading

import pytest
from django.db import close_old_connections, connections

from portal.camps.models import Camp
from portal.demo import cast, films, making, write_up
from portal.demo.cast import Adult
from portal.demo.making import Making, NotMade
from portal.desk import claims, drafts
from portal.desk.doubts import doubts_of
from portal.desk.models import Review
from portal.drills import library
from portal.drills.models import Drill
from portal.evaluations import publish
from portal.evaluations import tasks as pdf_tasks
from portal.evaluations.models import Evaluation
from portal.intake import erase
from portal.intake.clips import keep
from portal.intake.models import Submission
from portal.intake.receiving import take_in
from portal.intake.states import State
from portal.measuring import queue, work
from portal.measuring.models import Measurement, Stage
from portal.people.models import User
from portal.privacy import erasing
from tests.films.numbered import write_clip
from tests.portal.measuring.conftest import fake  # noqa: F401 - the stand-in

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def clips(tmp_path, monkeypatch):
    """Three small clips in the place of the films."""
    found = []
    for number, (hand, person) in enumerate([("right", "child"), ("right", "adult"), ("left", "adult")]):
        path = tmp_path / f"film{number}.mp4"
        write_clip(path, frames=12 + number, size=(320, 180))
        found.append(films.Film(path, hand, person))
    monkeypatch.setattr(films, "films", lambda: found)
    return found


@pytest.fixture
def workers(monkeypatch):
    """One worker in a thread that measures what is sent, and makes PDFs in name only."""
    waiting, over = [], threading.Event()
    monkeypatch.setattr(queue, "send", waiting.append)
    monkeypatch.setattr(pdf_tasks.make_pdf, "delay", lambda pk: None)

    def toil():
        while not over.wait(0.05):
            while waiting:
                clip = waiting.pop(0)
                if Submission.objects.filter(clips=clip, player__first_name__in=("Pia", "Nils")).exists():
                    continue  # those are left for the reader to see
                work.measure(clip)
            Evaluation.objects.filter(pdf="").update(pdf="x.pdf")
            close_old_connections()
        connections.close_all()

    thread = threading.Thread(target=toil)
    thread.start()
    yield waiting
    over.set()
    thread.join()


@pytest.fixture
def swing_in_tracks(fake):  # noqa: F811
    """Let the stand-in hand over the tracks of a swing computed by the tests of reading."""
    from tests.analysis.read.motion import Film, film_swing

    film_swing(Film()).save(fake / "tracks.npz")
    return fake


@pytest.fixture
def simple_pictures(monkeypatch):
    """The stand-in's stills are fewer than the swing's frames; what is drawn on them is tested with the evaluations."""
    monkeypatch.setattr("portal.evaluations.publish.picture", lambda markup: b"jpeg")


def story(first_name: str) -> Submission:
    return Submission.objects.get(player__first_name=first_name)


def test_the_camp_stands_in_every_state(clips, workers, swing_in_tracks, simple_pictures, monkeypatch, tmp_path):
    monkeypatch.setattr(making, "LOOK_EVERY_S", 0.05)
    monkeypatch.setattr(films, "cut_off", lambda data: b"cut off")
    refuse_the_cut_one(monkeypatch)
    library.load()  # as every start does
    lines = []
    Making(lines.append, lambda: False).run()

    states = {hitter.first_name: hitter.story for hitter in cast.HITTERS if hitter.story}
    live = {"live": State.RECEIVED}
    for first_name, expected in states.items():
        assert story(first_name).state == live.get(expected, expected), first_name
    assert any("clips measured" in line for line in lines)
    assert_worth_reading(Evaluation.objects.get(submission=story("Ida")))
    for review in Review.objects.filter(submission__state=State.PUBLISHED):
        assert [doubt.text for doubt in doubts_of(review)] == []
    assert story("Bram").film_again_words == cast.FILM_AGAIN_WORDS
    assert not story("Alvar").clips.exists()
    assert story("Malou").reviewer.name == "Maren Oduya"
    assert story("Emil").reviewer.name == "Tibor Quist"
    waits = [one.received_at for one in Submission.objects.filter(state=State.READY)]
    assert len({when.date() for when in waits}) == 3
    assert Measurement.objects.filter(stage=Stage.WAITING).count() == 2
    assert User.objects.get(email=cast.COACH.email).check_password(cast.PASSWORD)
    assert Camp.objects.get(name=cast.CAMP["name"]).invite_is_open


def refuse_the_cut_one(monkeypatch) -> None:
    """The stand-in cannot tell a film from a broken one, so the one in the middle of the cast is refused here."""
    from portal.measuring import runner

    real = runner.measure

    def measure(clip, folder, listener):
        if clip.read_bytes() == b"cut off":
            return runner.Refused("truncated", "The end of this clip is missing. Please send it again.")
        return real(clip, folder, listener)

    monkeypatch.setattr(runner, "measure", measure)


def assert_worth_reading(evaluation: Evaluation) -> None:
    held = evaluation.snapshot
    assert held["greeting"].startswith("Thank you for the clip.")  # the page says hello before it
    assert held["good"]
    assert held["thing"]["title"]
    assert held["thing"]["words"]
    assert len(held["plan"]) >= 2
    assert held["pictures"]
    assert [picture for picture in held["pictures"] if picture["for_thing"]]
    assert {point["rating"] for point in held["points"]} >= {"good", "work_on"}


def test_a_making_called_off_stops(clips, workers, swing_in_tracks):
    with pytest.raises(NotMade, match="Called off"):
        Making(lambda line: None, lambda: True).run()


def test_a_film_that_fails_is_named_with_its_reason(clips, workers, swing_in_tracks, monkeypatch):
    monkeypatch.setattr(making, "LOOK_EVERY_S", 0.05)
    (swing_in_tracks / "end").write_text("refuse")
    with pytest.raises(NotMade, match=r"Ida Sandvall could not be measured: We could not find a hitter"):
        Making(lambda line: None, lambda: False).run()


def test_a_broken_file_that_could_be_measured_is_named(clips, workers, swing_in_tracks, simple_pictures, monkeypatch):
    monkeypatch.setattr(making, "LOOK_EVERY_S", 0.05)
    library.load()
    with pytest.raises(NotMade, match="The clip of Freja Bellweather was measured, though most of its file is missing"):
        Making(lambda line: None, lambda: False).run()


def test_who_opens_the_demo_while_it_is_made_goes_first(clips, workers, swing_in_tracks, simple_pictures, monkeypatch):
    monkeypatch.setattr(making, "LOOK_EVERY_S", 0.05)
    monkeypatch.setattr(films, "cut_off", lambda data: b"cut off")
    refuse_the_cut_one(monkeypatch)
    library.load()
    visitors = Visitors(clips[0].data)
    Making(visitors.look_in, lambda: False).run()

    assert visitors.deeds == {}
    assert (story("Ida").state, story("Ida").reviewer.name) == (State.IN_REVIEW, "Tibor Quist")
    assert story("Joris").evaluations.get().snapshot["greeting"] == "By hand."
    assert story("Malou").state == State.READY  # begun, and put back into the queue
    assert not Submission.objects.filter(player__first_name="Emil").exists()
    assert (story("Saga").state, story("Saga").film_again_words) == (State.FILM_AGAIN, "Closer, please.")
    assert story("Otto").state == State.WITHDRAWN
    assert (story("Bram").clips.count(), story("Bram").film_again_words) == (2, "")
    assert (story("Freja").state, story("Freja").reviewer.name) == (State.IN_REVIEW, "Tibor Quist")
    assert story("Alvar").state == State.WITHDRAWN
    assert story("Pia").state == State.WITHDRAWN
    assert story("Tuva").state == State.READY
    assert story("Nils").clips.count() == 1  # nobody came by: sent last, as ever


class Visitors:
    """People who are in the demo while its clips are measured. Each does one thing to a player's submission, once it can be done."""

    def __init__(self, film: bytes) -> None:
        self.film = film
        self.deeds = {
            "Pia": (State.UPLOADING, erase.withdraw),
            "Ida": (State.READY, self.claim),
            "Joris": (State.READY, self.publish),
            "Malou": (State.READY, self.put_back),
            "Emil": (State.READY, lambda submission: erasing.erase_player(submission.player, "guardian")),
            "Saga": (State.READY, lambda one: one.move(State.FILM_AGAIN, film_again_words="Closer, please.")),
            "Otto": (State.READY, erase.withdraw),
            "Bram": (State.READY, self.send_another),
            "Freja": (State.UNREADABLE, self.claim),
            "Alvar": (State.READY, erase.withdraw),
        }

    def look_in(self, line: str) -> None:
        for first_name, (state, deed) in list(self.deeds.items()):
            found = Submission.objects.filter(player__first_name=first_name, state=state).first()
            if found is not None:
                del self.deeds[first_name]
                deed(found)

    def claim(self, submission: Submission, coach: Adult = cast.SECOND_COACH) -> Review:
        claims.claim(submission, User.objects.get(email=coach.email))
        return drafts.open_draft(submission)

    def publish(self, submission: Submission) -> None:
        review = self.claim(submission)
        drafts.set_fields(greeting="By hand.", thing_title="Wait for it", thing_words="A little longer.")(review)
        publish.publish(review, submission.reviewer)

    def put_back(self, submission: Submission) -> None:
        self.claim(submission, cast.COACH)
        assert claims.release(submission, submission.reviewer)

    def send_another(self, submission: Submission) -> None:
        film = films.another_copy(self.film)
        keep(submission, take_in([film], len(film)), "another.mov")


def test_what_a_coach_takes_first_has_drills(db):
    """Every checkpoint that can become the one thing is trained by a drill of the library."""
    library.load()
    trained = {checkpoint for drill in Drill.objects.all() for checkpoint in drill.trains}
    assert set(write_up.FIRST) <= trained

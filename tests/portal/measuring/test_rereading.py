"""Old clips are read again from their tracks, by today's method, with what their coaches moved by hand."""

import json

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse

from analysis.read.versions import METHOD
from portal.evaluations.publish import publish
from portal.intake.states import State
from portal.measuring import corrections, door, rereading
from portal.measuring.models import Measurement, Reread, Retry, Trouble

pytestmark = pytest.mark.django_db
FILM = "birch_right_catcher"
KNEE = "down_front_knee"
FAR = 80.0  # degrees: no knee that was in range is it now


@pytest.fixture
def held(measured_clip, put_tracks):
    return put_tracks(measured_clip, FILM)


def row():
    return Measurement.objects.get()


def knee(result, swing=0):
    readings = result["swings"][swing]["readings"]
    return next(reading for reading in readings if reading["checkpoint"] == KNEE)


def test_what_is_read_by_todays_method_is_left_alone(held):
    assert rereading.read_again(held.pk) == "idle"
    assert not Retry.objects.exists()


def test_a_newer_method_reads_an_old_clip_without_its_film(held, newer_method):
    clip = held.clip
    default_storage.delete(clip.original.name)
    for name in default_storage.listdir(clip.folder)[1]:
        if name != f"{FILM}.npz":
            default_storage.delete(f"{clip.folder}/{name}")
    newer_method(10.0)
    assert rereading.read_again(held.pk) == "read"
    now = row()
    assert (now.read_method, now.read_book) == (METHOD + 1, door.BOOK)
    assert now.read_at > held.read_at
    assert knee(now.result)["value"] == pytest.approx(knee(held.result)["value"] + 10.0)


def test_a_result_from_before_versions_were_kept_is_read_again(held):
    Measurement.objects.update(read_method=0, read_book=0, read_at=None)
    assert rereading.read_again(held.pk) == "read"
    assert row().result == held.result


def test_a_newer_book_asks_for_it_too(held, monkeypatch):
    monkeypatch.setattr(door, "BOOK", door.BOOK + 1)
    assert rereading.read_again(held.pk) == "read"
    assert row().read_book == door.BOOK


def test_an_older_program_beside_a_newer_one_takes_nothing_back(held, monkeypatch):
    monkeypatch.setattr(door, "METHOD", 0)
    assert rereading.read_again(held.pk) == "idle"


def test_twice_is_as_good_as_once(held, newer_method):
    newer_method()
    assert [rereading.read_again(held.pk) for _ in range(2)] == ["read", "idle"]
    assert not Retry.objects.exists()


def test_what_the_coach_moved_counts_in_the_new_reading(held, newer_method):
    contact = held.result["swings"][0]["instants"]["contact"]["frame"]
    corrections.apply(held, {"hand": "right", "instants": {"0": {"contact": contact + 2}}}, 0)
    newer_method()
    assert rereading.read_again(held.pk) == "read"
    now = row()
    assert now.corrections == held.corrections
    assert now.corrections_version == 1, "nothing was moved, so an open window is not stale"
    assert now.result["swings"][0]["instants"]["contact"] == held.result["swings"][0]["instants"]["contact"]
    assert now.result["film"]["hand_source"] == "coach"


def test_a_swing_taken_out_stays_out(measured_clip, put_tracks, newer_method):
    held = put_tracks(measured_clip, "hazel_child_two_swings")
    corrections.apply(held, {"remove_swings": [0]}, 0)
    newer_method()
    assert rereading.read_again(held.pk) == "read"
    assert row().corrections == {"remove_swings": [0]}
    assert [swing["index"] for swing in row().result["swings"]] == [1]


def test_a_coach_who_corrects_in_that_moment_wins(held, newer_method, monkeypatch):
    newer_method()
    real = door.read_again

    def meanwhile(measurement, wanted):
        Measurement.objects.update(corrections_version=1, corrections={"hand": "left"})
        return real(measurement, wanted)

    monkeypatch.setattr(door, "read_again", meanwhile)
    assert rereading.read_again(held.pk) == "lost"
    assert (row().corrections, row().read_method) == ({"hand": "left"}, METHOD)
    assert not Reread.objects.exists()


def test_a_correction_of_an_old_reading_is_made_on_top_of_the_new_one(held, newer_method):
    newer_method()
    corrections.apply(held, {"hand": "left"}, 0)
    assert (row().read_method, row().corrections, row().corrections_version) == (METHOD + 1, {"hand": "left"}, 1)


def test_the_bands_are_those_of_the_age_in_which_it_was_filmed(held, newer_method, monkeypatch):
    """A hitter of eleven last year is a youth in last year's film, whatever today's age is."""
    type(held.clip).objects.update(created_at=held.clip.created_at.replace(year=held.clip.created_at.year - 1))
    asked = []
    newer_method()
    real = door.read_tracks
    monkeypatch.setattr(door, "read_tracks", lambda *given: asked.append(given[2]) or real(*given))
    rereading.read_again(held.pk)
    assert set(asked) == {"child"}


def test_a_clip_whose_track_is_not_kept_stays_as_it_was(held, newer_method):
    default_storage.delete(held.tracks)
    door.load_tracks.cache_clear()
    newer_method()
    assert [rereading.read_again(held.pk) for _ in range(2)] == ["kept", "idle"]
    assert (row().result, row().read_method) == (held.result, METHOD)
    assert rereading.left_as_they_are().get().trouble == Trouble.NO_TRACK
    assert not rereading.waiting().exists()


def test_a_clip_without_any_track_stays_too(held, newer_method):
    Measurement.objects.update(tracks="")
    newer_method()
    assert rereading.read_again(held.pk) == "kept"


def test_a_damaged_track_stays_too(held, newer_method):
    default_storage.delete(held.tracks)
    default_storage.save(held.tracks, ContentFile(b"no track"))
    door.load_tracks.cache_clear()
    newer_method()
    assert rereading.read_again(held.pk) == "kept"
    assert Retry.objects.get().trouble == Trouble.DAMAGED


def test_corrections_that_cannot_be_used_any_more_leave_it_as_it_was(held, newer_method):
    Measurement.objects.update(corrections={"hand": "both"})
    newer_method()
    assert rereading.read_again(held.pk) == "kept"
    assert Retry.objects.get().trouble == Trouble.CORRECTIONS


def test_an_error_of_ours_is_tried_three_times(held, newer_method, monkeypatch):
    newer_method()
    monkeypatch.setattr(door, "read_again", lambda *_: 1 / 0)
    assert [rereading.read_again(held.pk) for _ in range(4)] == ["again", "again", "kept", "idle"]
    assert Retry.objects.get().trouble == Trouble.FAILED
    assert row().result == held.result


def test_the_next_method_tries_anew(held, newer_method, monkeypatch):
    newer_method()
    with monkeypatch.context() as patch:
        patch.setattr(door, "read_again", lambda *_: 1 / 0)
        for _ in range(3):
            rereading.read_again(held.pk)
    newer_method()
    assert rereading.read_again(held.pk) == "read"


def test_a_worker_that_is_asked_to_stop_blames_no_clip(held, newer_method, monkeypatch):
    newer_method()

    def stop(*_):
        raise SystemExit

    with monkeypatch.context() as patch:
        patch.setattr(door, "read_again", stop)
        for _ in range(4):
            with pytest.raises(SystemExit):
                rereading.read_again(held.pk)
    assert rereading.read_again(held.pk) == "read"


def test_a_storage_that_fails_ends_the_round(held, newer_method, monkeypatch):
    newer_method()
    monkeypatch.setattr(door, "load_tracks", lambda _: (_ for _ in ()).throw(OSError(5, "Input/output error")))
    with pytest.raises(OSError, match="Input/output"):
        rereading.read_again(held.pk)
    assert rereading.waiting().exists()


def test_a_withdrawn_clip_is_left_alone(held, newer_method):
    held.clip.submission.move(State.WITHDRAWN)
    newer_method()
    assert rereading.read_again(held.pk) == "idle"


def test_nobody_is_told_where_no_coach_has_looked_yet(held, newer_method):
    newer_method(FAR)
    rereading.read_again(held.pk)
    assert not Reread.objects.exists()


def test_nobody_is_told_of_a_reading_that_came_out_the_same(held, review, newer_method):
    newer_method()
    assert rereading.read_again(held.pk) == "read"
    assert not Reread.objects.exists()


def test_a_coach_with_an_open_draft_is_told_what_changed(held, review, newer_method):
    newer_method(FAR)
    rereading.read_again(held.pk)
    told = Reread.objects.get()
    assert told.why == ["method"]
    (change,) = told.calls
    assert (change["swing"], change["checkpoint"]) == (0, KNEE)
    assert change["before"] == knee(held.result)["call"] != change["after"]
    assert change["now"]["value"] == pytest.approx(change["was"]["value"] + FAR)


def test_the_draft_stays_as_it_was(held, review, newer_method):
    review.ratings.create(checkpoint=KNEE, rate="good", words="Soft and strong.")
    review.markups.create(clip=held.clip, frame=12, shapes=[], caption="Here")
    before = [list(review.ratings.values()), list(review.markups.values()), type(review).objects.values().get()]
    newer_method(FAR)
    rereading.read_again(held.pk)
    assert [list(review.ratings.values()), list(review.markups.values()), type(review).objects.values().get()] == before


def test_two_newer_methods_before_the_coach_looks_are_told_as_one(held, review, newer_method):
    newer_method(FAR)
    rereading.read_again(held.pk)
    newer_method(-FAR)
    rereading.read_again(held.pk)
    assert Reread.objects.get().calls == [], "in the end no call is another one"


def test_the_draft_goes_on_with_its_swing(measured_clip, review, put_tracks, newer_method, monkeypatch):
    """A newer method finds a swing before the one under review."""
    held = put_tracks(measured_clip, "hazel_child_two_swings")
    both = held.result["swings"]
    Measurement.objects.update(result={**held.result, "swings": [{**both[1], "index": 0}]})
    newer_method()
    rereading.read_again(held.pk)
    review.refresh_from_db()
    assert (review.swing, review.version) == (1, 0)
    assert Reread.objects.get().swings == {"gone": [], "new": [0], "back": False}


def test_a_published_edition_stays_as_it_is_byte_for_byte(held, review, coach, guardian, sign_in, newer_method):
    review.markups.create(clip=held.clip, frame=12, shapes=[], caption="Here", show_skeleton=True)
    edition = publish(review, coach)
    default_storage.save("evaluations/some.pdf", ContentFile(b"%PDF-1.7"))
    edition.keep_pdf("evaluations/some.pdf")

    def state():
        edition.refresh_from_db()
        family = sign_in(guardian)
        pages = [
            family.get(reverse("evaluation", args=[edition.pk])),
            family.get(reverse("evaluation_picture", args=[edition.pk, "picture-1.jpg"])),
        ]
        shown = [b"".join(page) if page.streaming else page.content for page in pages]
        return json.dumps(edition.snapshot), edition.pdf, [_plain(one) for one in shown]

    before = state()
    newer_method(FAR)
    assert rereading.read_again(held.pk) == "read"
    assert knee(row().result)["call"] != knee(held.result)["call"]
    assert state() == before


def _plain(page: bytes) -> bytes:
    """Without what is drawn by lot for every answer."""
    import re

    return re.sub(rb'(csrfmiddlewaretoken" value|nonce)="[^"]*"', b"", page)

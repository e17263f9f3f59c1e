"""A camp's own bands: who changes them, what can be put in, what is noted, and what is read with them."""

import pytest
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.urls import reverse

from portal.camps import bands
from portal.camps.band_form import MEASURED
from portal.camps.band_limits import LIMITS, limits_of
from portal.camps.models import BandChange, Camp, OwnBand
from portal.evaluations.publish import publish
from portal.intake.states import State
from portal.measuring import door, rereading
from portal.measuring.models import Measurement, Reread
from portal.measuring.resolving import ON_OUR_FILMS, usual_errors
from portal.people.models import User

pytestmark = pytest.mark.django_db
FOOT, KNEE = "down_foot_opening", "down_front_knee"


@pytest.fixture(autouse=True)
def asked(monkeypatch):
    """How often clips were asked to be read again."""
    calls = []
    monkeypatch.setattr("portal.measuring.queue.send_reading_again", lambda: calls.append(1))
    monkeypatch.setattr("portal.measuring.queue.length", lambda name: 0)
    return calls


@pytest.fixture
def client(sign_in, coach):
    return sign_in(coach)


@pytest.fixture
def post(camp, client):
    """`post(down_front_knee=(20, 50), level="youth")`: the page as it stands with these two numbers put in."""

    def send(level="", version=None, by=None, **wanted):
        url = reverse("camp_bands_level", args=[camp.pk, level]) if level else reverse("camp_bands", args=[camp.pk])
        shown = (by or client).get(url).context
        data = {"version": camp_now().bands_version if version is None else version}
        for row in shown["rows"]:
            for name in ("low", "high"):
                value = row.form.initial[name]
                data[f"{row.entry.id}-{name}"] = "" if value is None else value
        for key, value in wanted.items():
            if key == "back":
                data["back"] = value
            else:
                data[f"{key}-low"], data[f"{key}-high"] = ("" if end is None else end for end in value)
        return (by or client).post(url, data, follow=True)

    return send


def camp_now():
    return Camp.objects.get(name="Lindholt fall camp")


def own(level=""):
    return {row.checkpoint: (row.low, row.high) for row in OwnBand.objects.filter(level=level)}


def test_a_band_is_changed_for_all_levels(post, camp, coach):
    page = post(**{FOOT: (None, 50)})
    assert "1 band was changed." in page.text
    assert own() == {FOOT: (None, 50.0)}
    assert bands.own_bands(camp.pk, "child") == (1, {FOOT: (None, 50.0)})


def test_a_camp_without_bands_of_its_own_has_their_version_alone(camp, django_assert_num_queries):
    with django_assert_num_queries(1):
        assert bands.own_bands(camp.pk, "child") == (0, {})


def test_the_bands_of_no_camp_are_none_at_all(db):
    with pytest.raises(Camp.DoesNotExist):
        bands.own_bands(0, "child")


def test_a_level_has_its_own_and_the_others_have_the_camps(post, camp):
    post(**{FOOT: (None, 50)})
    post(level="child", **{FOOT: (None, 60)})
    assert bands.own_bands(camp.pk, "child")[1] == {FOOT: (None, 60.0)}
    assert bands.own_bands(camp.pk, "youth")[1] == {FOOT: (None, 50.0)}


def test_only_the_rows_that_were_changed_become_the_camps_own(post):
    post(**{KNEE: (20, 50), FOOT: (None, 45)})
    assert own() == {KNEE: (20.0, 50.0)}


def test_the_books_numbers_typed_in_are_the_book_again(post):
    post(**{FOOT: (None, 50)})
    post(**{FOOT: (None, 45)})
    assert own() == {}


def test_back_to_the_books_by_its_button(post):
    post(**{FOOT: (None, 50)})
    post(back=FOOT)
    assert own() == {}
    assert camp_now().bands_version == 2


def test_a_level_goes_back_to_the_camps(post, client, camp):
    post(**{FOOT: (None, 50)})
    post(level="adult", **{FOOT: (None, 40)})
    page = client.get(reverse("camp_bands_level", args=[camp.pk, "adult"]))
    assert "Back to the camp’s" in page.text
    post(level="adult", back=FOOT)
    assert own("adult") == {}
    assert bands.own_bands(camp.pk, "adult")[1] == {FOOT: (None, 50.0)}


def test_the_page_of_all_levels_names_those_with_their_own(post, client, camp):
    post(level="child", **{FOOT: (None, 60)})
    assert "With a band of their own: up to 10: at most 60°" in client.get(reverse("camp_bands", args=[camp.pk])).text


def test_a_band_that_differs_by_level_in_the_book_may_stay_so(post):
    """Two empty fields there are no fault: the book has another band for each level."""
    page = post(**{KNEE: (20, 50)})
    assert "1 band was changed." in page.text
    post(contact_front_knee=(None, 31))
    assert own()["contact_front_knee"] == (None, 31.0)
    post(contact_front_knee=(None, 32))
    post(back="contact_front_knee")
    assert "contact_front_knee" not in own()


@pytest.mark.parametrize(
    ("band", "words"),
    [
        ((50, 20), "has to be the smaller number"),
        ((30, 30), "has to be the smaller number"),
        ((20, 500), "No body does that: this goes from −10 to 150°"),
        ((None, None), "Give one end at least"),
        (("x", 40), "Enter a number"),
        (("nan", 40), "Enter a number"),
        (("1e999", 40), "Enter a number"),
    ],
)
def test_what_cannot_be_is_said_in_words_and_nothing_is_saved(band, words, post):
    page = post(**{KNEE: band, FOOT: (None, 50)})
    assert words in page.text
    assert (own(), camp_now().bands_version) == ({}, 0)


def test_a_band_narrower_than_a_phone_can_tell_is_taken_with_a_warning(post):
    page = post(**{KNEE: (30, 36)})
    assert own() == {KNEE: (30.0, 36.0)}
    assert "This band is 6° wide, and a phone clip tells it to ±16°" in page.text
    assert "From 32° on it can." in page.text
    assert "This band is" not in post(**{KNEE: (20, 52)}).text


def test_an_end_that_is_left_open_where_the_book_has_one_is_taken_and_said(post):
    """As where the book's ends differ by age: then both fields are empty, and it is easy to type one alone."""
    page = post(down_stride_length=(None, 35))
    assert own() == {"down_stride_length": (None, 35.0)}
    assert "Nothing is too little here any more" in page.text
    assert "any more" not in post(down_stride_length=(28, 62)).text
    assert "any more" not in post(**{FOOT: (None, 50)}).text  # the book's is open there, too


def test_what_a_phone_tells_comes_from_the_own_clips_once_there_are_some(measured_clip):
    held = measured_clip.measurement
    reading = {"checkpoint": KNEE, "interval": [20.0, 44.0]}
    Measurement.objects.update(result={**held.result, "swings": [{"readings": [reading]}] * 5})
    assert usual_errors()[KNEE] == 12.0
    assert usual_errors()[FOOT] == ON_OUR_FILMS[FOOT]


def test_every_measured_checkpoint_has_limits_around_its_strip_and_a_usual_error():
    for entry in MEASURED:
        low, high = limits_of(entry)
        assert low <= entry.scale[0] < entry.scale[1] <= high, entry.id
    assert set(LIMITS) == set(ON_OUR_FILMS) == {entry.id for entry in MEASURED}


def test_the_log_says_who_changed_what(post, client, camp):
    post(**{FOOT: (None, 50)})
    post(level="child", **{FOOT: (10, 60)})
    post(back=FOOT)
    said = [(c.by.name, c.level, c.before, c.after) for c in BandChange.objects.order_by("pk")]
    assert said == [
        ("Maren Oduya", "", None, [None, 50.0]),
        ("Maren Oduya", "child", None, [10.0, 60.0]),
        ("Maren Oduya", "", [None, 50.0], None),
    ]
    page = client.get(reverse("camp_bands", args=[camp.pk])).text
    assert "Front foot angle</b>, up to 10: what holds for all" in page
    assert "10 to 60°" in page


def test_the_log_outlives_the_account(post, client, camp, owner, sign_in):
    post(**{FOOT: (None, 50)}, by=sign_in(owner))
    User.objects.filter(pk=owner.pk).delete()
    assert "somebody who is no longer here" in client.get(reverse("camp_bands", args=[camp.pk])).text


def test_of_two_windows_the_second_is_told_and_changes_nothing(post):
    post(**{FOOT: (None, 50)})
    page = post(version=0, **{FOOT: (None, 70)})
    assert "Somebody else changed the bands of this camp meanwhile" in page.text
    assert own() == {FOOT: (None, 50.0)}


@pytest.mark.parametrize("version", ["", "x", "²", "9" * 40, "-1"])
def test_an_odd_version_is_an_old_one(version, post):
    assert "meanwhile" in post(version=version, **{FOOT: (None, 50)}).text


def test_saving_without_a_change_changes_nothing(post, asked, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        assert "All bands are as they were." in post().text
    assert (camp_now().bands_version, asked) == (0, [])


def test_another_coach_of_the_camp_looks_and_changes_nothing(camp, other_coach, sign_in, post):
    camp.coaches.add(other_coach)
    client = sign_in(other_coach)
    page = client.get(reverse("camp_bands", args=[camp.pk]))
    assert "Maren Oduya, who leads this camp" in page.text
    assert '<input type="number"' not in page.text
    assert client.post(reverse("camp_bands", args=[camp.pk]), {"version": 0}).status_code == 404


def test_the_owner_changes_them_too(post, sign_in, owner):
    post(by=sign_in(owner), **{FOOT: (None, 50)})
    assert own() == {FOOT: (None, 50.0)}


@pytest.mark.parametrize("persona", ["guardian", "player_user", "other_coach"])
def test_others_find_nothing(persona, camp, sign_in, request):
    assert sign_in(request.getfixturevalue(persona)).get(reverse("camp_bands", args=[camp.pk])).status_code == 404


def test_a_level_that_is_none_is_not_there(camp, client):
    assert client.get(reverse("camp_bands_level", args=[camp.pk, "senior"])).status_code == 404


def test_the_database_takes_no_band_that_goes_down(camp):
    for low, high in [(5.0, 5.0), (9.0, 5.0), (None, None)]:
        with pytest.raises(IntegrityError), transaction.atomic():
            OwnBand.objects.create(camp=camp, checkpoint=FOOT, low=low, high=high)


# what is read with them


@pytest.fixture
def held(measured_clip, put_tracks):
    return put_tracks(measured_clip, "birch_right_catcher")


def reading(measurement=None, checkpoint=KNEE):
    result = (measurement or Measurement.objects.get()).result
    return next(r for r in result["swings"][0]["readings"] if r["checkpoint"] == checkpoint)


def test_a_clip_that_is_not_published_is_read_with_the_new_band(held, post, asked, django_capture_on_commit_callbacks):
    assert "own_band" not in reading()
    with django_capture_on_commit_callbacks(execute=True):
        post(**{KNEE: (90, 140)})
    assert asked == [1]
    assert rereading.read_again(held.pk) == "read"
    assert (reading()["band"], reading()["own_band"]) == ([90.0, 140.0], True)
    assert reading()["value"] == reading(held)["value"]
    assert reading()["call"] != reading(held)["call"]
    assert Measurement.objects.get().read_bands == 1
    assert "own_band" not in reading(checkpoint=FOOT)


def test_the_coach_is_told_that_the_bands_were_changed(held, review, post):
    post(**{KNEE: (90, 140)})
    rereading.read_again(held.pk)
    told = Reread.objects.get()
    assert told.why == ["bands"]
    assert [change["checkpoint"] for change in told.calls] == [KNEE]


def test_another_levels_band_changes_no_reading(held, post):
    post(level="adult", **{KNEE: (90, 140)})
    rereading.read_again(held.pk)
    assert reading()["band"] == reading(held)["band"]


def test_a_new_clip_is_read_with_them_at_once(held, camp, coach):
    bands.change(camp, "youth", 0, {KNEE: (90.0, 140.0)}, coach)
    result = door.read_again(held, {})
    assert reading(Measurement(result=result))["band"] == [90.0, 140.0]
    assert result["read_with"] == {"method": door.METHOD, "book": door.BOOK, "level": "youth", "bands": 1}


def test_what_is_published_is_not_read_again_and_its_edition_stays(held, review, coach, post):
    edition = publish(review, coach)
    before = edition.snapshot
    post(**{KNEE: (90, 140)})
    assert rereading.read_again(held.pk) == "idle"
    call_command("read_again")
    edition.refresh_from_db()
    assert (edition.snapshot, Measurement.objects.get().result) == (before, held.result)


def test_a_correction_of_what_is_published_is_read_with_todays_bands(held, review, coach, post):
    publish(review, coach)
    post(**{KNEE: (90, 140)})
    held.clip.submission.refresh_from_db()
    held.clip.submission.move(State.IN_REVIEW, reviewer=coach)
    assert rereading.read_again(held.pk) == "read"


def test_bands_of_another_camp_ask_for_nothing(held, other_camp, other_coach):
    bands.change(other_camp, "", 0, {KNEE: (90.0, 140.0)}, other_coach)
    assert not rereading.waiting().exists()


def test_desk_and_edition_say_that_the_band_is_the_camps_own(held, review, coach, post, client, guardian, sign_in):
    post(**{KNEE: (10, 70)})
    rereading.read_again(held.pk)
    desk = client.get(reverse("desk", args=[review.submission_id])).text
    assert "wanted: 10 to 70° (this camp’s own band)" in desk
    review.refresh_from_db()
    Reread.objects.all().delete()
    edition = publish(type(review).objects.get(), coach)
    point = next(point for point in edition.snapshot["points"] if point["checkpoint"] == KNEE)
    assert (point["band"], point["own_band"]) == ([10.0, 70.0], True)
    page = sign_in(guardian).get(reverse("evaluation", args=[edition.pk])).text
    assert page.count("This camp’s own range.") == 1


def test_an_edition_from_before_there_were_own_bands_is_shown_as_it_was(evaluation, guardian, sign_in):
    for point in evaluation.snapshot["points"]:
        point.pop("own_band")
    type(evaluation).objects.filter(pk=evaluation.pk).update(snapshot=evaluation.snapshot)
    page = sign_in(guardian).get(reverse("evaluation", args=[evaluation.pk]))
    assert page.status_code == 200
    assert "This camp’s own range." not in page.text


def test_the_camps_page_leads_there(post, client, camp):
    assert reverse("camp_bands", args=[camp.pk]) in client.get(reverse("camp", args=[camp.pk])).text
    post(**{KNEE: (20, 50)})
    assert "1 of this camp’s own" in client.get(reverse("camp", args=[camp.pk])).text

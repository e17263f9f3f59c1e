"""Publishing: what an edition holds, that it never changes, and that nothing half is kept."""

from __future__ import annotations

import copy
import io
import re

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from PIL import Image

from portal.desk.models import Rating
from portal.evaluations.models import Evaluation, PublishedIsFixed
from portal.evaluations.present import present
from portal.evaluations.publish import draft_snapshot, publish
from portal.intake.states import MoveNotAllowed, State
from tests.films.numbered import read_number


def point(snapshot, checkpoint):
    return next(p for p in snapshot["points"] if p["checkpoint"] == checkpoint)


def test_the_edition_holds_the_write_up(published):
    held = published.snapshot
    assert held["player"]["first_name"] == "Ida"
    assert held["coach"] == "Maren Oduya"
    assert held["greeting"] == "Hi Ida!"
    assert held["good"] == ["You stay tall to the end."]
    assert held["thing"]["title"] == "Keep the front foot closed a little longer"
    assert held["thing"]["point"]["value"] == 62
    assert held["closing"] == "See you in spring."


def test_it_holds_readings_with_what_the_coach_said(published):
    opening = point(published.snapshot, "down_foot_opening")
    assert (opening["value"], opening["interval"], opening["band"]) == (62, [52, 72], [None, 45])
    assert (opening["call"], opening["rating"], opening["words"]) == ("out of range", "work_on", "Toes to the plate.")
    assert opening["thing"] is True
    assert opening["name"] == "Front foot angle"


def test_what_only_the_eye_rates_has_no_scale(published):
    palms = point(published.snapshot, "contact_palms")
    assert (palms["call"], palms["scale"], palms["rating"]) == ("coach's eye", None, "good")


def test_what_cannot_be_read_keeps_its_reason(published):
    hips = point(published.snapshot, "down_hips_square")
    assert hips["value"] is None
    assert "catcher’s side would show it" in hips["reason"]


def test_it_holds_the_drill_with_this_players_set_up(published):
    (drill,) = published.snapshot["plan"]
    assert drill["set_up"]["rounds"] == 4
    assert drill["set_up"]["stride_foot"] == "straight"
    assert drill["words"] == "Ask for help with the line."
    assert drill["steps"] == ["Draw a line.", "Step along it.", "Hit."]
    assert drill["own_cautions"] == ["Use chalk."]
    assert any("Look all around" in caution for caution in drill["cautions"])
    assert drill["drawing"].startswith("<svg")


def test_pictures_are_the_frames_that_were_marked_the_one_things_first(published):
    first, second = published.snapshot["pictures"]
    assert (first["frame"], first["for_thing"], first["tones"]) == (26, True, ["wanted", "coach"])
    assert (second["frame"], second["caption"]) == (12, "Set.")
    with default_storage.open(f"{published.folder}/{second['file']}") as file:
        assert read_number(np.asarray(Image.open(io.BytesIO(file.read())))) == 12


def test_publishing_moves_the_submission_and_asks_for_the_pdf(published, asked):
    published.submission.refresh_from_db()
    assert published.submission.state == State.PUBLISHED
    assert asked == [str(published.pk)]


def test_the_family_gets_a_mail_with_the_link(full, coach, asked, mailoutbox, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        made = publish(full, coach)
    assert {mail.to[0] for mail in mailoutbox} == {"lea@example.org", "ida@example.org"}
    assert f"/evaluations/{made.pk}/" in mailoutbox[0].body


def test_a_later_change_of_anything_changes_nothing_in_it(published, full, drill, coach, guardian, sign_in):
    before = copy.deepcopy(published.snapshot)
    page = sign_in(guardian).get(f"/evaluations/{published.pk}/").context["content"]
    full.thing_title, full.good = "Something else", ["Other"]
    full.save()
    full.ratings.all().delete()
    full.markups.all().delete()
    full.assignments.all().delete()
    drill.title, drill.steps = "Renamed", ["Nothing"]
    drill.save()
    full.clip.measurement.result["swings"][0]["readings"] = []
    full.clip.measurement.save()
    coach.name = "Somebody Else"
    coach.save()
    full.submission.player.first_name = "Other"
    full.submission.player.save()
    assert Evaluation.objects.get(pk=published.pk).snapshot == before
    assert sign_in(guardian).get(f"/evaluations/{published.pk}/").context["content"] == page


def test_a_published_row_refuses_to_be_saved(published):
    published.snapshot["good"] = ["Changed"]
    with pytest.raises(PublishedIsFixed, match="Publish a new edition instead"):
        published.save()
    assert Evaluation.objects.get(pk=published.pk).snapshot["good"] == ["You stay tall to the end."]


def test_a_correction_is_a_new_edition_and_the_old_one_stays(published, full, coach):
    full.submission.refresh_from_db()
    full.submission.move(State.IN_REVIEW, reviewer=coach)
    full.closing = "See you in May."
    full.save()
    second = publish(full, coach)
    assert second.edition == second.snapshot["edition"] == 2
    assert second.snapshot["closing"] == "See you in May."
    assert Evaluation.objects.get(pk=published.pk).snapshot["closing"] == "See you in spring."


def test_what_is_not_in_review_cannot_be_published(published, full, coach, asked):
    with pytest.raises(MoveNotAllowed):
        publish(full, coach)
    assert Evaluation.objects.count() == 1
    assert asked == [str(published.pk)]
    assert default_storage.listdir("evaluations")[0] == [str(published.pk)]


def test_the_preview_is_what_will_be_published(full, coach, asked):
    draft = draft_snapshot(full)
    assert all(picture.pop("src").startswith("data:image/jpeg;base64,") for picture in draft["pictures"])
    assert draft == publish(full, coach).snapshot


def test_an_empty_draft_can_be_previewed(review):
    review.thing_title, review.good = "", ["", "  "]
    draft = draft_snapshot(review)
    assert (draft["thing"], draft["good"], draft["plan"], draft["pictures"]) == (None, [], [], [])


def test_without_a_clip_only_the_words_are_there(review):
    review.clip = None
    draft = draft_snapshot(review)
    assert (draft["points"], draft["film"]["swings"]) == ([], 0)
    assert draft["greeting"] == "Hi Ida!"


def test_words_without_a_rate_are_told_as_words_and_rate_nothing(review):
    Rating.objects.create(review=review, checkpoint="down_front_knee", words="I like this landing.")
    content = present(draft_snapshot(review), str)
    told = {point["checkpoint"]: point for point in content["told"]}
    assert (told["down_front_knee"]["rating"], told["down_front_knee"]["words"]) == ("", "I like this landing.")


def test_what_the_coach_did_not_rate_is_not_said_by_the_coach(review, coach, sign_in):
    """Whatever the calls are, a fresh draft says nothing of any checkpoint."""
    shown = sign_in(coach).get(f"/submissions/{review.submission_id}/desk/").content.decode()
    assert not re.search(r'type="radio"[^>]*\bchecked\b', shown)
    content = present(draft_snapshot(review), str)
    assert [point for point in content["points"] if point["rating"]] == []
    assert content["told"] == [point for point in content["points"] if point["thing"]]
    html = render_to_string("evaluations/content.html", {"content": content})
    assert "The coach says:" not in html


@pytest.mark.parametrize(
    ("before", "chosen", "after"), [("", "she", "she"), ("she", "he", "he"), ("she", "", "she"), ("", "", "")]
)
def test_what_the_player_is_called_is_remembered_when_it_was_chosen(full, coach, before, chosen, after):
    player = full.submission.player
    player.pronoun = before
    player.save(update_fields=["pronoun"])
    full.pronoun = chosen
    full.save(update_fields=["pronoun"])
    publish(full, coach)
    player.refresh_from_db()
    assert player.pronoun == after

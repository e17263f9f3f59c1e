"""The queue's page."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from portal import access
from portal.desk import lists, nothing
from portal.intake.states import State


@pytest.fixture
def page(desk_client):
    def get(**query):
        return desk_client.get(reverse("queue"), query)

    return get


def test_a_coach_sees_who_waits_and_can_begin(page, measured_clip):
    answer = page()
    assert answer.status_code == 200
    body = answer.content.decode()
    assert "Ida Sandvall" in body
    assert reverse("desk_claim", args=[measured_clip.submission_id]) in body


def test_who_reviews_is_named_and_nothing_begins_beside_them(page, measured_clip, other_coach):
    measured_clip.submission.move(State.IN_REVIEW, reviewer=other_coach)
    assert "Sandvall" not in page().content.decode()
    body = page(list="others").content.decode()
    assert "Tibor Quist is reviewing since" in body
    assert reverse("desk_claim", args=[measured_clip.submission_id]) not in body


def test_lists_and_camps_are_plain_links(page, measured_clip, submission, camp, other_camp, coach):
    other_camp.coaches.add(coach)
    submission(State.FILM_AGAIN, film_again_words="Step back three steps.")
    assert "Step back three steps." in page(list="film_again").content.decode()
    body = page(camp=other_camp.pk).content.decode()
    assert "Ida Sandvall" not in body
    assert "Nothing fits" in body
    assert f"?list=published&amp;camp={other_camp.pk}" in body
    assert f'value="{other_camp.pk}" selected' in body


def test_a_coach_without_a_camp_is_told_where_clips_come_from(sign_in, other_coach, other_camp):
    other_camp.coaches.remove(other_coach)
    without = sign_in(other_coach).get(reverse("queue")).content.decode()
    assert f'href="{reverse("camp_new")}"' in without
    other_camp.coaches.add(other_coach)
    empty = sign_in(other_coach).get(reverse("queue")).content.decode()
    assert "send them the invite link of their camp" in empty
    assert f'href="{reverse("camp", args=[other_camp.pk])}"' in empty
    assert 'role="search"' not in empty  # there is nothing to look for


@pytest.mark.parametrize("name", lists.LISTS)
def test_each_empty_list_says_what_would_stand_there(page, measured_clip, name):
    elsewhere = State.MEASURING if name in ("waiting", "free") else State.READY
    type(measured_clip.submission).objects.update(state=elsewhere)
    body = page(list=name).content.decode()
    for words in nothing.WORDS[name]:
        assert str(words) in body


def test_an_empty_list_leads_to_who_waits_else_to_what_is_measured(page, measured_clip):
    assert "To who waits for you" in page(list="mine").content.decode()
    type(measured_clip.submission).objects.update(state=State.MEASURING)
    for name in ("mine", "waiting"):
        body = page(list=name).content.decode()
        assert '<a class="quiet" href="?list=measuring">To what is being measured</a>' in " ".join(body.split())
    assert "To what" not in page(list="measuring").content.decode()


def test_another_coach_sees_nothing_of_it(sign_in, other_coach, measured_clip):
    assert b"Sandvall" not in sign_in(other_coach).get(reverse("queue")).content


@pytest.mark.parametrize("who", ["guardian", "player_user"])
def test_families_have_no_queue(sign_in, request, who):
    assert sign_in(request.getfixturevalue(who)).get(reverse("queue")).status_code == 404


def test_strangers_sign_in_first(stranger, db):
    assert stranger.get(reverse("queue")).status_code == 302


def test_a_wrong_camp_or_list_counts_as_no_choice(page, measured_clip):
    assert b"Sandvall" in page(camp="x", list="y", page="z").content


def test_search_and_filters_live_in_the_address_and_in_every_link(page, measured_clip):
    body = page(q="sand", due="week", sort="player").content.decode()
    assert "Ida Sandvall" in body
    assert 'value="sand"' in body
    assert "?list=free&amp;q=sand&amp;due=week" in body
    assert "?list=waiting&amp;q=sand&amp;due=week&amp;sort=-player" in body
    assert 'aria-sort="ascending"' in body
    assert "Ida Sandvall" not in page(q="nobody").content.decode()


def test_the_coach_column_sorts_either_way_like_the_others(page, measured_clip):
    body = page(q="sand").content.decode()
    assert "?list=waiting&amp;q=sand&amp;sort=coach" in body
    turned = page(q="sand", sort="coach").content.decode()
    assert "?list=waiting&amp;q=sand&amp;sort=-coach" in turned
    assert '<option value="coach" selected>coach</option>' in turned


def test_a_published_line_names_who_has_published_it(page, submission, coach):
    submission(State.PUBLISHED, reviewer=coach)
    assert "Maren Oduya has published it" in page(list="published").content.decode()


def test_the_counts_follow_the_filters(page, measured_clip):
    def count(**query):
        return {one["href"].partition("&")[0]: one["count"] for one in page(**query).context["lists"]}

    assert count()["?list=waiting"] == 1
    assert count(q="nobody")["?list=waiting"] == 0


def test_every_column_is_named(page, measured_clip):
    body = page().content.decode()
    heads = re.findall(r'<th role="columnheader".*?</th>', body, re.DOTALL)
    assert [" ".join(re.sub("<[^>]+>", "", head).split()) for head in heads] == [
        "Due ↑", "Player", "Film", "Waiting since", "Coach",
    ]  # fmt: skip


def test_the_coach_reads_the_film_check_in_a_few_words(page, measured_clip):
    body = page().content.decode()
    assert "camera moves" in body
    assert "Rest it on a fence" not in body


def test_many_lines_ask_no_more_of_the_database_than_few(
    page, measured_clip, submission, django_assert_max_num_queries
):
    for _n in range(30):
        submission(State.READY)
    with django_assert_max_num_queries(13):
        page(q="sand", due="week", since="", sort="-player")


def test_a_list_takes_no_whole_result_out_of_the_database(page, measured_clip):
    """A result is tens of kilobytes a line; the film's facts alone are asked for, and nothing is fetched afterwards."""
    with CaptureQueriesContext(connection) as queries:
        body = page().content.decode()
    assert "from the chest side, 60 fps, 1 swing" in body
    asked = [one["sql"] for one in queries if "measuring_measurement" in one["sql"]]
    assert len(asked) == 1
    assert '"measuring_measurement"."result",' not in asked[0].partition("JSON")[0]


def test_the_page_stands_in_the_order_asked_for_on_every_page(page, submission):
    days = [f"2026-12-{day:02}" for day in range(1, 29)]
    for day in reversed(days):
        submission(State.READY, promised_by=day)
    found = [str(line.submission.promised_by) for n in (1, 2) for line in page(list="free", page=n).context["lines"]]
    assert found == days


def test_who_reviews_is_named_even_where_they_coach_the_camp_no_more(page, measured_clip, other_coach, camp):
    measured_clip.submission.move(State.IN_REVIEW, reviewer=other_coach)
    assert other_coach not in camp.coaches.all()
    assert "Tibor Quist is reviewing since" in page(list="others").content.decode()


@pytest.mark.parametrize("who", ["coach", "other_coach", "owner", "guardian"])
def test_camps_at_hand_give_the_same_submissions(request, who, measured_clip, submission, camp, other_camp):
    submission(State.READY)
    user = request.getfixturevalue(who)
    camps = list(access.camps_seen_by(user))
    asked, at_hand = access.submissions_reviewed_by(user), access.submissions_reviewed_by(user, camps)
    assert set(at_hand) == set(asked)
    assert at_hand.exists() == (who in ("coach", "owner"))


def test_every_form_of_the_page_can_be_sent(measured_clip, coach, settings):
    """The token is made once for all lines, and is one that the site takes."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(coach, backend=settings.AUTHENTICATION_BACKENDS[0])
    body = client.get(reverse("queue")).content.decode()
    claim = reverse("desk_claim", args=[measured_clip.submission_id])
    token = re.search(rf'action="{claim}">\s*<input type="hidden" name="csrfmiddlewaretoken" value="(\w+)"', body)
    assert token
    assert client.post(claim, {"csrfmiddlewaretoken": token[1]}).status_code == 302
    assert client.post(claim, {}).status_code == 403

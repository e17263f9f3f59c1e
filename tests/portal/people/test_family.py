"""The family's own page."""

import pytest
from django.urls import reverse

from portal.intake.states import State
from tests.portal.conftest import make_submission

URL = "/family/"


def test_a_guardian_finds_children_submissions_and_evaluations(sign_in, guardian, evaluation):
    page = sign_in(guardian).get(URL)
    assert "Ida Sandvall" in page.text
    assert reverse("submission", args=[evaluation.submission.pk]) in page.text
    assert reverse("evaluation", args=[evaluation.pk]) in page.text


def test_the_player_finds_the_same(sign_in, player_user, evaluation):
    assert reverse("evaluation", args=[evaluation.pk]) in sign_in(player_user).get(URL).text


@pytest.mark.parametrize("state", [State.FILM_AGAIN, State.UNREADABLE])
def test_what_asks_for_another_clip_has_its_own_button(sign_in, guardian, coach, player, camp, state):
    asked = make_submission(player, camp, state)
    make_submission(player, camp, State.READY)
    button = f'<a class="act" href="{reverse("submission_clip", args=[asked.pk])}">Send another clip</a>'
    for page in (URL, reverse("player", args=[player.pk])):
        text = sign_in(guardian).get(page).text
        assert button in text
        assert text.count("Send another clip") == 1  # none beside what waits for the coach
    assert "Send another clip" not in sign_in(coach).get(reverse("player", args=[player.pk])).text


def test_another_family_finds_nothing_of_it(sign_in, other_guardian, other_player, evaluation):
    page = sign_in(other_guardian).get(URL)
    assert "Joris" in page.text
    assert "Ida" not in page.text


def test_nobodys_page_says_how_to_begin(sign_in, guardian):
    assert "Open the invite link" in sign_in(guardian).get(URL).text


def test_two_children_cost_no_more_queries_than_one(
    sign_in, guardian, player, camp, django_assert_num_queries, django_assert_max_num_queries
):
    from tests.portal.conftest import make_player

    client = sign_in(guardian)
    make_submission(player, camp, State.READY)
    client.get(URL)
    with django_assert_max_num_queries(20) as one:
        client.get(URL)
    make_submission(make_player(camp, guardian, first_name="Tom"), camp, State.PUBLISHED)
    with django_assert_num_queries(len(one)):
        client.get(URL)


def test_a_stranger_signs_in_first(stranger, db):
    assert stranger.get(URL).url == f"{reverse('account_login')}?next={URL}"


def test_a_player_in_no_camp_is_told_how_to_get_into_one(sign_in, guardian, player):
    client, told = sign_in(guardian), "open the invite link of the coach"
    pages = [reverse("family"), reverse("player", args=[player.pk])]
    assert not any(told in client.get(page).content.decode() for page in pages)
    player.camps.clear()
    assert all(told in client.get(page).content.decode() for page in pages)

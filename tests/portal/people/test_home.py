"""The front door leads everybody to their own work."""

from django.urls import reverse

from portal.intake.states import State


def test_a_stranger_reads_what_this_is(stranger, db):
    page = stranger.get("/")
    assert page.status_code == 200
    assert "Sign in" in page.text
    assert "Demo outbox" not in page.text


def test_a_coach_goes_to_the_queue(sign_in, coach):
    assert sign_in(coach).get("/").url == reverse("queue")


def test_a_family_goes_to_its_own_page(sign_in, guardian, player_user):
    assert sign_in(guardian).get("/").url == reverse("family")
    assert sign_in(player_user).get("/").url == reverse("family")


def test_the_owner_sees_how_many_stand_where(sign_in, owner, submission):
    submission(State.READY)
    submission(State.READY)
    page = sign_in(owner).get("/", follow=True)
    assert page.context["counts"] == [("ready", 2)]
    assert reverse("health_page") in page.text


def test_only_a_demo_shows_the_way_to_its_outbox(stranger, settings, db):
    settings.DEMO = True
    assert reverse("outbox") in stranger.get("/").text

"""A session that ended takes no newer one with it."""

from django.conf import settings
from django.contrib.sessions.models import Session

COOKIE = settings.SESSION_COOKIE_NAME


def test_a_late_answer_of_an_ended_session_leaves_the_cookie_of_a_new_sign_in(sign_in, coach):
    client = sign_in(coach)
    Session.objects.all().delete()
    refused = client.get("/queue/")
    assert refused.status_code == 302
    assert COOKIE not in refused.cookies
    assert "Cookie" in refused.headers["Vary"]


def test_signing_out_takes_the_cookie(sign_in, coach):
    client = sign_in(coach)
    out = client.post("/accounts/logout/")
    assert out.cookies[COOKIE].value == ""
    assert not Session.objects.exists()


def test_a_page_of_a_changed_password_is_signed_out(sign_in, coach):
    """The session is there, and no longer its owner's: that it is emptied is told to the browser."""
    client = sign_in(coach)
    coach.set_password("another one")
    coach.save()
    assert client.get("/queue/").cookies[COOKIE].value == ""

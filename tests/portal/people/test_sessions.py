"""A session that ended takes no newer one with it."""

import pytest
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


@pytest.mark.parametrize("address", ["/accounts/logout/", "/admin/logout/"])
def test_signing_out_takes_the_cookie(address, sign_in, owner):
    client = sign_in(owner)
    out = client.post(address)
    assert out.cookies[COOKIE].value == ""
    assert not Session.objects.exists()


def test_a_changed_password_ends_a_session_and_leaves_the_cookie_of_a_new_sign_in(sign_in, coach):
    """The request at which the session ends, which may be answered after its owner signed in with the new password."""
    client = sign_in(coach)
    coach.set_password("another one")
    coach.save()
    refused = client.get("/queue/")
    assert refused.status_code == 302
    assert COOKIE not in refused.cookies
    assert "Cookie" in refused.headers["Vary"]
    assert not Session.objects.exists()  # what the cookie names opens nothing
    assert client.get("/queue/").status_code == 302

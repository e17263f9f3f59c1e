"""Whose large body is taken: of somebody signed in, and not more than the site takes."""

import pytest
from django.conf import settings
from django.test import Client, RequestFactory

from portal.web import leave

pytestmark = pytest.mark.django_db
MB = 1024 * 1024


def environ(length, cookies=""):
    request = RequestFactory().generic("PUT", "/submissions/1/clips/")
    return {**request.environ, "CONTENT_LENGTH": str(length), "HTTP_COOKIE": cookies}


def cookies_of(client):
    return "; ".join(f"{name}={morsel.value}" for name, morsel in client.cookies.items())


def test_somebody_signed_in_may(guardian, sign_in):
    assert leave.may_send(environ(50 * MB, cookies_of(sign_in(guardian))))


@pytest.mark.parametrize("cookies", ["", f"{settings.SESSION_COOKIE_NAME}=made-up", "odd; =; \x00"])
def test_a_stranger_may_not(cookies):
    assert not leave.may_send(environ(50 * MB, cookies))


def test_a_visitor_with_a_session_but_no_account_may_not(client: Client):
    session = client.session
    session["seen"] = True
    session.save()
    assert not leave.may_send(environ(50 * MB, cookies_of(client)))


def test_nobody_may_send_more_than_the_site_takes(guardian, sign_in, settings):
    settings.UPLOAD_MAX_BYTES = 10 * MB
    cookies = cookies_of(sign_in(guardian))
    assert leave.may_send(environ(10 * MB, cookies))
    assert not leave.may_send(environ(11 * MB, cookies))

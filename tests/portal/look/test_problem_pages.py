"""Pages for when something went wrong: they bear the site's own name and the reader's theme, and stand without a database, too."""

from __future__ import annotations

import errno
import uuid

import pytest
from allauth.core.ratelimit import respond_429
from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.db import OperationalError
from django.http import Http404, HttpRequest
from django.test import RequestFactory
from django.urls import reverse
from django.utils.functional import SimpleLazyObject
from django.views import csrf, defaults

from portal.disk_full_page import SaidWhenFull
from portal.evaluations.access_log import NotNoted
from portal.evaluations.middleware import NoLookUnnoted
from portal.owner.models import Site

PAGES = {
    400: lambda request: defaults.bad_request(request, SuspiciousOperation()),
    403: lambda request: defaults.permission_denied(request, PermissionDenied()),
    "csrf": csrf.csrf_failure,
    404: lambda request: defaults.page_not_found(request, Http404()),
    429: respond_429,
    503: lambda request: NoLookUnnoted(None).process_exception(request, NotNoted()),
    507: lambda request: SaidWhenFull(None).process_exception(request, OSError(errno.ENOSPC, "no room")),
}
NAME = "Lindholt swings & more"
TOLD = "Lindholt swings &amp; more"


@pytest.fixture
def request_of(db, rf: RequestFactory) -> HttpRequest:
    """Of a reader who chose the dark theme, at a site with a name of its own."""
    Site.get()
    Site.objects.update(name=NAME)
    rf.cookies["theme"] = "dark"
    return rf.get("/no-such-page/")


@pytest.mark.parametrize("which", PAGES)
def test_it_bears_the_sites_own_name(which, request_of):
    answer = PAGES[which](request_of)
    assert answer.status_code == (403 if which == "csrf" else which)
    page = answer.content.decode()
    assert page.count(TOLD) == 2  # in the title and in the header
    assert f" · {TOLD}</title>" in page
    assert 'data-theme="dark"' in page
    assert "Cagenote" not in page


@pytest.mark.parametrize("which", PAGES)
def test_it_is_told_without_a_database_too(which, request_of, monkeypatch):
    def gone():
        raise OperationalError("the connection is closed")

    monkeypatch.setattr("portal.owner.naming.site_name", gone)
    page = PAGES[which](request_of).content.decode()
    assert page.count("Cagenote") == 2


def test_an_error_of_ours_asks_for_nothing(request_of, django_assert_num_queries):
    with django_assert_num_queries(0):
        page = defaults.server_error(request_of).content.decode()
    assert page.count("Cagenote") == 2


def test_a_missing_page_bears_it_in_a_browser(request_of, client):
    assert f" · {TOLD}</title>" in client.get("/no-such-page/").content.decode()


class TestMissing:
    """Who is in reads as whom, and is not asked to sign in; nobody reads whether a thing exists."""

    def test_a_stranger_is_offered_the_sign_in(self, stranger, db):
        page = stranger.get("/no such/ & more/").text
        assert "sign in first with the address that the email was sent to" in page
        assert f'href="{reverse("account_login")}?next=/no%20such/%20%26%20more/"' in page
        assert "signed in as" not in page
        assert "Sign out" not in page

    def test_who_is_in_reads_as_whom(self, guardian, sign_in):
        page = sign_in(guardian).get("/no-such-page/").text
        assert f"You are signed in as <strong>{guardian.email}</strong>" in page
        assert reverse("account_login") not in page
        assert f'href="{reverse("account_logout")}"' in page
        assert page.count('href="/"') == 2  # in the header, and below the words

    def test_it_is_the_same_whether_the_thing_exists_or_not(self, other_guardian, player, sign_in):
        client = sign_in(other_guardian)
        theirs, none = (client.get(reverse("player", args=[pk])) for pk in (player.pk, uuid.uuid4()))
        assert (theirs.status_code, none.status_code) == (404, 404)
        assert theirs.content == none.content

    def test_it_is_told_where_the_database_does_not_say_who_asks(self, request_of):
        def gone():
            raise OperationalError("the connection is closed")

        request_of.user = SimpleLazyObject(gone)
        answer = PAGES[404](request_of)
        page = answer.content.decode()
        assert answer.status_code == 404
        assert "signed in as" not in page
        assert reverse("account_login") not in page
        assert "To the start" in page


@pytest.mark.parametrize("name", ["join", "join_coach", "join_guardian", "join_player", "first_start_link"])
def test_a_link_that_opens_nothing_offers_the_sign_in_to_strangers_alone(name, stranger, guardian, sign_in):
    url = reverse(name, args=["spoilt"])
    way_in = f'class="act" href="{reverse("account_login")}"'
    page = stranger.get(url).text
    assert "This link opens nothing" in page
    assert way_in in page
    page = sign_in(guardian).get(url).text
    assert "This link opens nothing" in page
    assert way_in not in page
    assert f"You are signed in as <strong>{guardian.email}</strong>" in page
    assert "sign in" not in page

"""Pages for when something went wrong: they bear the site's own name and the reader's theme, and stand without a database, too."""

from __future__ import annotations

import errno

import pytest
from allauth.core.ratelimit import respond_429
from django.core.exceptions import PermissionDenied, SuspiciousOperation
from django.db import OperationalError
from django.http import Http404, HttpRequest
from django.test import RequestFactory
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

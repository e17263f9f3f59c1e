"""The film in a plain form, cut out of it while it comes in."""

from __future__ import annotations

from urllib.parse import parse_qs

import pytest
from django.conf import settings as site
from django.test import Client, RequestFactory
from django.urls import reverse

from portal.intake import receiving
from portal.intake.form_film import MOST_OF_FIELDS, FormFilm
from portal.intake.models import Clip
from portal.intake.receiving import Refused
from portal.web import leave

LINE = "----line"
FILM = b"\0\0\0\x18ftypmp42" + b"\r\n--\r\n----lin\r" * 3000
TOKEN = "a" * 32


def part(name, body, filename=None):
    file = f'; filename="{filename}"' if filename is not None else ""
    return f'--{LINE}\r\nContent-Disposition: form-data; name="{name}"{file}\r\n\r\n'.encode() + body + b"\r\n"


def form(*parts):
    return b"".join(parts) + f"--{LINE}--\r\n".encode()


WHOLE = form(part("csrfmiddlewaretoken", TOKEN.encode()), part("clip", FILM, "swing ⚾.mp4"))


def filled(body, piece=100_000):
    film = FormFilm(LINE, len(body))
    for start in range(0, len(body), piece):
        film.append(body[start : start + piece])
    return film


def left():
    return list(receiving.incoming().iterdir())


@pytest.mark.parametrize("piece", [1, 7, 64, 1000, 100_000])
def test_the_film_is_cut_out_wherever_the_pieces_end(piece):
    film = filled(WHOLE, piece)
    assert parse_qs(film.getfile().read()) == {b"csrfmiddlewaretoken": [TOKEN.encode()]}
    assert film.arrived().path.read_bytes() == FILM
    assert (film.size, film.name, len(film)) == (len(FILM), "swing ⚾.mp4", len(WHOLE))
    film.close()
    assert left() == []


def test_a_piece_with_nothing_in_it_ends_no_form():
    film = FormFilm(LINE, len(WHOLE))
    for piece in (b"", WHOLE[:300], b"", WHOLE[300:], b""):
        film.append(piece)
    film.getfile()
    assert film.arrived().path.read_bytes() == FILM
    film.close()


@pytest.mark.parametrize(
    "body",
    [
        WHOLE[:-20],
        b"no form at all" * 100,
        form(part("token", b"x"), part("clip", FILM, "a.mp4"), part("clip", FILM, "b.mp4")),
        form(part("other", FILM, "a.mp4")),
        form(part("token", b"x" * (MOST_OF_FIELDS + 1)), part("clip", FILM, "a.mp4")),
    ],
)
def test_of_what_is_no_such_form_nothing_is_left(body):
    film = filled(body)
    assert film.getfile().read() == b""
    assert film.arrived() is None
    film.close()
    assert left() == []


def test_where_none_was_chosen_there_is_no_film():
    film = filled(form(part("token", b"x"), part("clip", b"", "")))
    assert film.getfile().read() == b"token=x"
    assert film.arrived() is None
    film.close()


def test_what_is_no_film_fills_no_disk_and_is_refused():
    film = filled(form(part("clip", b"\x89PNG\r\n\x1a\n".ljust(200_000, b"x"), "a.mp4")), 50_000)
    assert [path.stat().st_size for path in left()] == [0]
    film.getfile()
    with pytest.raises(Refused, match="photo"):
        film.arrived()
    film.close()
    assert left() == []


@pytest.mark.django_db
class TestTheWayIn:
    @pytest.fixture
    def begun(self, submission):
        return submission()

    @pytest.fixture
    def family(self, guardian):
        client = Client(enforce_csrf_checks=True)
        client.force_login(guardian, backend="allauth.account.auth_backends.AuthenticationBackend")
        client.cookies[site.CSRF_COOKIE_NAME] = TOKEN
        return client

    def asked(self, family, begun):
        cookies = "; ".join(f"{name}={one.value}" for name, one in family.cookies.items())
        request = RequestFactory().generic(
            "POST", reverse("clip_upload", args=[begun.pk]), headers={"Cookie": cookies},
            CONTENT_LENGTH="3000000", CONTENT_TYPE=f"multipart/form-data; boundary={LINE}",
        )  # fmt: skip
        return leave.may_send(request.environ)

    def send(self, family, begun, film):
        body = film.getfile().read()
        about = film.environ()
        kind = about.pop("CONTENT_TYPE")
        return family.generic("POST", reverse("clip_upload", args=[begun.pk]), body, kind, **about)

    def test_a_form_that_went_straight_becomes_a_clip(self, family, begun):
        film = self.asked(family, begun)
        assert isinstance(film, FormFilm)
        film.append(WHOLE)
        answer = self.send(family, begun, film)
        film.close()
        assert answer.url == reverse("submission", args=[begun.pk])
        assert Clip.objects.get().original.read() == FILM
        assert Clip.objects.get().name == "swing ⚾.mp4"
        assert left() == []

    def test_without_the_pages_token_nothing_is_kept(self, family, begun):
        film = self.asked(family, begun)
        film.append(form(part("csrfmiddlewaretoken", b"b" * 32), part("clip", FILM, "a.mp4")))
        assert self.send(family, begun, film).status_code == 403
        film.close()
        assert left() == []
        assert not Clip.objects.exists()

    def test_one_that_holds_no_film_is_told_so(self, family, begun):
        film = self.asked(family, begun)
        film.append(form(part("csrfmiddlewaretoken", TOKEN.encode()), part("clip", b"", "")))
        answer = self.send(family, begun, film)
        film.close()
        assert answer.status_code == 400
        assert "Choose the clip first" in answer.text

    def test_a_film_over_the_cap_is_refused(self, family, begun, settings):
        film = self.asked(family, begun)
        film.append(WHOLE)
        settings.UPLOAD_MAX_BYTES = 1000
        assert self.send(family, begun, film).status_code == 413
        film.close()
        assert left() == []

    def test_another_familys_goes_the_usual_way(self, other_guardian, family, begun):
        family.force_login(other_guardian, backend="allauth.account.auth_backends.AuthenticationBackend")
        assert self.asked(family, begun) is True
        assert left() == []

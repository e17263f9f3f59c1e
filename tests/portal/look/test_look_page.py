"""The component page and the theme: who sees it, and that it holds what it should."""

import pytest

URL = "/look/"


def test_a_coach_sees_every_component(sign_in, coach):
    response = sign_in(coach).get(URL)
    assert response.status_code == 200
    html = response.content.decode()
    for part in (
        "strip-band",
        "strip-arrow",
        "call close",
        "call eye",
        "rate",
        "errorlist",
        "progress",
        "submission-steps",
        "pager",
        "empty",
        "queue",
    ):
        assert f'class="{part}' in html or f"<{part}" in html or f'{part}"' in html, part


def test_the_owner_sees_it(sign_in, owner):
    assert sign_in(owner).get(URL).status_code == 200


@pytest.mark.django_db
def test_a_stranger_gets_404(stranger):
    assert stranger.get(URL).status_code == 404


def test_families_get_404(sign_in, guardian):
    assert sign_in(guardian).get(URL).status_code == 404


def test_nothing_can_be_sent_to_it(sign_in, coach):
    assert sign_in(coach).post(URL).status_code == 405


@pytest.mark.parametrize(("cookie", "shown"), [("dark", 'data-theme="dark"'), ("light", 'data-theme="light"')])
def test_the_chosen_theme_comes_with_the_page(sign_in, coach, cookie, shown):
    client = sign_in(coach)
    client.cookies["theme"] = cookie
    assert shown in client.get(URL).content.decode()


def test_an_unknown_theme_counts_as_none(sign_in, coach):
    client = sign_in(coach)
    client.cookies["theme"] = '"><script>'
    assert "data-theme=" not in client.get(URL).content.decode().split("<body")[0]


@pytest.mark.django_db
def test_a_missing_page_speaks_kindly(stranger, settings):
    settings.DEBUG = False
    response = stranger.get("/no-such-page/")
    assert response.status_code == 404
    assert "Nothing is here" in response.content.decode()

"""The outbox: for the owner, and for anybody in a demo, where no mail leaves the machine."""

import pytest
from django.urls import reverse

from portal.outbox.models import Letter


@pytest.fixture
def letter(db):
    return Letter.objects.create(to="lea@example.org", sender="us", subject="Your code", body="<b>ABC-DEF</b>")


@pytest.fixture
def urls(letter):
    return [reverse("outbox"), reverse("letter", args=[letter.pk])]


def test_the_owner_reads_it(sign_in, owner, urls):
    client = sign_in(owner)
    assert "Your code" in client.get(urls[0]).text
    assert "&lt;b&gt;ABC-DEF&lt;/b&gt;" in client.get(urls[1]).text


@pytest.mark.parametrize("persona", ["coach", "guardian", "player_user"])
def test_nobody_else_does(persona, request, sign_in, urls):
    client = sign_in(request.getfixturevalue(persona))
    assert [client.get(url).status_code for url in urls] == [404, 404]


def test_strangers_do_not(stranger, urls):
    assert [stranger.get(url).status_code for url in urls] == [404, 404]


def test_in_a_demo_everybody_does(stranger, urls, settings):
    settings.DEMO = True
    assert [stranger.get(url).status_code for url in urls] == [200, 200]
    assert "In this demo no mail leaves the machine" in stranger.get(urls[0]).text


def test_no_such_letter(sign_in, owner):
    assert sign_in(owner).get(reverse("letter", args=[404])).status_code == 404


def test_it_is_read_only(sign_in, owner, urls):
    assert [sign_in(owner).post(url).status_code for url in urls] == [405, 405]


def test_many_letters_come_in_pages(sign_in, owner):
    Letter.objects.bulk_create(Letter(to=f"{n}@example.org", sender="us", subject=f"No {n}") for n in range(31))
    assert "Page 1 of 2" in sign_in(owner).get(reverse("outbox")).text

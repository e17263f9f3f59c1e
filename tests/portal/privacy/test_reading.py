"""The privacy page says what is set, and the owner writes on it."""

from __future__ import annotations

import pytest
from django.urls import reverse

from portal.camps.models import Camp
from portal.privacy import erasing, finishing
from portal.privacy.models import AskedBy, PrivacyText


@pytest.mark.django_db
def test_it_is_reached_from_the_foot_of_a_page(client):
    assert f'href="{reverse("privacy")}"' in client.get(reverse("home")).text


@pytest.mark.django_db
def test_it_says_the_times_by_themselves_where_there_is_no_camp(client):
    page = client.get(reverse("privacy")).text
    for words in ("12 months after the camp", "36 months", "90 days", "codes and links in them 1 day", "Your coach."):
        assert words in page


def test_it_says_the_times_that_camps_set(client, camp, other_camp):
    Camp.objects.filter(pk=other_camp.pk).update(film_months=6)
    assert "6 to 12 months, as each camp says" in client.get(reverse("privacy")).text


def test_the_owner_adds_words_and_whom_to_ask(sign_in, owner, client):
    about = {"whom_to_ask": "Oda, 555 0100", "words": "We are a small club.\n\nAsk us <b>anything</b>."}
    sign_in(owner).post(reverse("owner_privacy"), about)
    page = client.get(reverse("privacy")).text
    assert "<p>We are a small club.</p>" in page
    assert "&lt;b&gt;anything" in page
    assert "Oda, 555 0100" in page
    assert PrivacyText.objects.count() == 1


def test_without_words_the_owner_is_named(client, owner):
    assert "Oda Verne, who keeps this site running" in client.get(reverse("privacy")).text


def test_the_owner_reads_what_goes_when_and_what_was_erased(
    sign_in, owner, player, other_player, measured_clip, settings, tmp_path, monkeypatch
):
    settings.ERASED_LEDGER = str(tmp_path / "erased.jsonl")
    monkeypatch.setattr(finishing, "ask_worker", lambda pk: None)
    erasing.erase_player(other_player, AskedBy.FAMILY)
    page = sign_in(owner).get(reverse("owner_privacy")).text
    assert "1 with film" in page
    assert "a player, at the family’s wish" in page
    assert "leftovers under way" in page
    assert "Joris" not in page

"""What has to be there before anything starts, each fault with an id and a hint."""

import os

import pytest
from django.core.checks import run_checks

from portal.health import bundled_redis, checks


def ids(**kwargs) -> set[str]:
    return {message.id for message in run_checks(**kwargs) if (message.id or "").startswith("cagenote.")}


@pytest.fixture
def sound(settings, tmp_path):
    """Settings with which our checks find nothing."""
    settings.DATA_DIR = settings.MEDIA_ROOT = tmp_path
    model = tmp_path / "model.task"
    model.touch()
    settings.POSE_MODEL = str(model)
    settings.DEFAULT_FROM_EMAIL = "Cagenote <camp@swings.example>"
    return settings


def test_sound_settings_are_passed(sound):
    assert ids() == set()


def test_a_folder_still_to_be_made_is_fine(sound, tmp_path):
    sound.DATA_DIR = tmp_path / "not" / "there" / "yet"
    assert ids() == set()


def test_a_folder_that_cannot_be_written_is_named(sound, tmp_path, monkeypatch):
    monkeypatch.setattr(os, "access", lambda path, mode: False)  # tests may run as root, who may write anywhere
    found = checks.data_folder_can_be_written()
    assert [message.id for message in found] == ["cagenote.E001", "cagenote.E001"]
    assert str(tmp_path) in found[0].msg
    assert "DATA_DIR" in found[0].hint


def test_a_file_in_the_place_of_the_folder_is_found(sound, tmp_path):
    sound.MEDIA_ROOT = tmp_path / "file"
    sound.MEDIA_ROOT.touch()
    assert "cagenote.E001" in ids()


def test_a_missing_model_is_a_warning_with_the_command_that_makes_it(sound, tmp_path):
    sound.POSE_MODEL = str(tmp_path / "nothing.task")
    found = checks.pose_model_is_there()
    assert [message.id for message in found] == ["cagenote.W001"]
    assert "analysis.watch.models build" in found[0].hint


def test_a_missing_redis_is_found_only_where_it_is_needed(sound, monkeypatch):
    monkeypatch.setattr(bundled_redis, "binary", lambda: None)
    sound.EMBEDDED_REDIS = True
    assert "cagenote.E002" in ids()
    sound.EMBEDDED_REDIS = False
    assert ids() == set()


def test_the_bundled_redis_is_really_there():
    assert bundled_redis.binary().is_file()


@pytest.mark.parametrize(
    ("site", "hosts", "is_well"),
    [
        ("https://swing.example", ["swing.example"], True),
        ("https://swing.example:8443", ["swing.example"], True),
        ("https://a.swing.example", [".swing.example"], True),
        ("https://swing.example", ["*"], True),
        ("http://[::1]:8000", ["[::1]"], True),
        ("https://swing.example", ["localhost"], False),
        ("https://swing.example", [], False),
    ],
)
def test_the_site_is_among_the_hosts(sound, site, hosts, is_well):
    sound.SITE_URL, sound.ALLOWED_HOSTS = site, hosts
    assert ("cagenote.E003" not in ids()) == is_well


def test_a_site_for_families_needs_tls_mail_and_no_demo(sound):
    sound.HTTPS, sound.OUTBOX_FORWARDS_TO, sound.DEMO = False, None, True
    assert {"cagenote.W002", "cagenote.W003", "cagenote.W004"} <= ids(include_deployment_checks=True)
    assert ids() == set()


@pytest.mark.parametrize(
    ("sender", "user", "site", "suggested"),
    [
        ("Cagenote <cagenote@localhost>", "coach@mail.example", "http://localhost:8000", "<coach@mail.example>"),
        ("Cagenote <cagenote@localhost>", "coach", "https://swings.example", "<cagenote@swings.example>"),
        ("nobody", "", "http://localhost:8000", "<cagenote@relay.example>"),
    ],
)
def test_a_sender_that_no_server_lets_through_is_found_with_a_better_one(sound, sender, user, site, suggested):
    sound.OUTBOX_FORWARDS_TO, sound.DEFAULT_FROM_EMAIL = "portal.outbox.smtp.EmailBackend", sender
    sound.EMAIL_HOST, sound.EMAIL_HOST_USER, sound.SITE_URL = "smtp.relay.example", user, site
    (found,) = checks.sender_can_be_answered()
    assert found.id == "cagenote.W007"
    assert suggested in found.hint


def test_a_sender_of_a_real_domain_is_fine_and_so_is_any_where_no_mail_leaves(sound):
    sound.OUTBOX_FORWARDS_TO, sound.DEFAULT_FROM_EMAIL = "portal.outbox.smtp.EmailBackend", "A <a@swings.example>"
    assert checks.sender_can_be_answered() == []
    sound.OUTBOX_FORWARDS_TO, sound.DEFAULT_FROM_EMAIL = None, "a@localhost"
    assert checks.sender_can_be_answered() == []

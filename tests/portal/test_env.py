"""Settings from the environment: what is wrong is said in words that name what may stand there."""

import pytest
from django.core.exceptions import ImproperlyConfigured

from portal import env


@pytest.mark.parametrize(
    ("given", "zone"),
    [("America/Chicago", "America/Chicago"), (" Europe/Berlin ", "Europe/Berlin"), ("", "UTC"), (None, "UTC")],
)
def test_a_time_zone_is_taken_by_its_name(monkeypatch, given, zone):
    monkeypatch.delenv("TIME_ZONE", raising=False)
    if given is not None:
        monkeypatch.setenv("TIME_ZONE", given)
    assert env.time_zone("TIME_ZONE", "UTC") == zone


@pytest.mark.parametrize("given", ["Chicago", "America", "GMT-6 (winter)", "../UTC", "/etc/hosts"])
def test_what_is_no_time_zone_stops_the_start_with_examples(monkeypatch, given):
    monkeypatch.setenv("TIME_ZONE", given)
    with pytest.raises(
        ImproperlyConfigured, match=r"^TIME_ZONE is .* no time zone; use a name such as America/New_York"
    ):
        env.time_zone("TIME_ZONE", "UTC")

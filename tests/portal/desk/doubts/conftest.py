"""A draft on the desk whose readings can be put as a test needs them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from portal.desk.doubts import doubts_of
from portal.desk.models import Review
from portal.drills.library import load
from portal.measuring.models import Measurement


@pytest.fixture
def said(review: Review) -> Callable[..., list[str]]:
    """`said(**fields)`: the sentences of the second look once the review has these fields."""

    def look(**fields: Any) -> list[str]:
        for name, value in fields.items():
            setattr(review, name, value)
        review.save()
        fresh = Review.objects.get(pk=review.pk)
        return [doubt.text for doubt in doubts_of(fresh)]

    return look


@pytest.fixture
def reads(review: Review) -> Callable[..., None]:
    """`reads("down_front_knee", value, give)`: the checkpoint is measured as this, give or take; None: not readable."""

    def put(checkpoint: str, value: float | None, give: float = 2.0) -> None:
        held = Measurement.objects.get(clip=review.clip)
        for swing in held.result["swings"]:
            for reading in swing["readings"]:
                if reading["checkpoint"] == checkpoint:
                    reading.update(value=value, interval=None if value is None else [value - give, value + give])
        held.save(update_fields=["result"])

    return put


@pytest.fixture
def library(db: None) -> None:
    load()

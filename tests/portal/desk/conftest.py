"""A desk in use: the coach's client, and a way to post changes as the browser does."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import count
from typing import Any

import pytest
from django.http import HttpResponse
from django.urls import reverse

from portal.desk.models import Review


@pytest.fixture
def desk_client(coach, sign_in):
    return sign_in(coach)


@pytest.fixture
def post_change(review: Review, desk_client: Any) -> Callable[..., HttpResponse]:
    """`post_change("rating", checkpoint="…", rate="good")`, on top of the newest version unless `version` says otherwise."""
    tokens = map(str, count())

    def post(kind: str, client: Any = None, **fields: Any) -> HttpResponse:
        review.refresh_from_db()
        body = {"version": review.version, "change": next(tokens), **fields}
        url = reverse(f"desk_{kind}", args=[review.submission_id])
        return (client or desk_client).post(url, json.dumps(body), content_type="application/json")

    return post

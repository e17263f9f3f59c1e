"""A draft with everything in it, and what publishing makes of it."""

from __future__ import annotations

import pytest

from portal.desk.models import Assignment, MarkUp, Rating
from portal.drills.models import Drill
from portal.evaluations import tasks
from portal.evaluations.publish import publish

SHAPES = [
    {"kind": "line", "points": [[100, 20], [100, 160]], "tone": "wanted"},
    {"kind": "ring", "points": [[200, 90], [220, 90]], "tone": "coach"},
]


@pytest.fixture
def drill(db):
    return Drill.objects.create(
        slug="chalk", title="Land on the chalk", in_short="A line shows where.", trains=["down_foot_opening"],
        steps=["Draw a line.", "Step along it.", "Hit."], goal="Five on the line.", cautions=["Use chalk."],
        set_up={"rounds": 2, "stride_foot": "straight"},
    )  # fmt: skip


@pytest.fixture
def full(review, drill):
    """The draft: ratings, two marked-up frames (the second is the one thing's), a drill with a set-up of its own."""
    Rating.objects.create(review=review, checkpoint="down_front_knee", rate="good")
    Rating.objects.create(review=review, checkpoint="down_foot_opening", rate="work_on", words="Toes to the plate.")
    Rating.objects.create(review=review, checkpoint="contact_palms", rate="good")
    clip = review.clip
    MarkUp.objects.create(
        review=review, clip=clip, frame=12, shapes=[], caption="Set.", instant="load", keep_others=True
    )
    MarkUp.objects.create(
        review=review, clip=clip, frame=26, shapes=SHAPES, caption="Your foot.", instant="foot_down", for_thing=True
    )
    MarkUp.objects.create(review=review, clip=clip, frame=40, shapes=SHAPES, in_evaluation=False)
    Assignment.objects.create(review=review, drill=drill, set_up={"rounds": 4}, words="Ask for help with the line.")
    return review


@pytest.fixture
def asked(monkeypatch):
    """The evaluations for which a PDF was asked."""
    found: list[str] = []
    monkeypatch.setattr(tasks.make_pdf, "delay", found.append)
    return found


@pytest.fixture
def published(full, coach, asked, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        return publish(full, coach)

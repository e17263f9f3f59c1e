"""The real analysis on a real film that ends before the swing: a figure stands still in it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import av
import pytest
from django.core import mail

from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring import work
from portal.measuring.models import Measurement
from tests.portal.measuring.conftest import make_waiting_clip

pytestmark = [pytest.mark.slow, pytest.mark.films, pytest.mark.django_db(transaction=True)]
STILL_S = 1.1


@pytest.fixture(scope="module")
def still(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The first second of a rendered film, encoded anew."""
    place = tmp_path_factory.mktemp("still") / "still.mp4"
    film = root / "tests" / "films" / "out" / "rowan_right_chest_uneven.mp4"
    with av.open(str(film)) as source, av.open(str(place), "w") as out:
        picture = source.streams.video[0]
        made = out.add_stream("libx264", rate=picture.average_rate, options={"crf": "20"})
        made.width, made.height, made.pix_fmt = picture.width, picture.height, "yuv420p"
        for frame in source.decode(picture):
            if frame.time >= STILL_S:
                break
            out.mux(made.encode(frame.reformat(format="yuv420p")))
        out.mux(made.encode())
    return place


def test_the_command_says_that_no_swing_was_found(still: Path, root: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "analysis", "measure", str(still)], cwd=root, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "No swing was found in this clip." in done.stdout
    assert "Swings found" not in done.stdout


def test_the_family_is_asked_to_film_once_more(still, submission, guardian, settings, tmp_path) -> None:
    settings.DATA_DIR = tmp_path / "data"
    clip = make_waiting_clip(submission(State.RECEIVED), still.read_bytes())
    assert work.measure(clip.pk) == "measured"
    assert Measurement.objects.get().has_no_swing
    assert Submission.objects.get().state == State.READY  # the coach can open the desk, or ask to film again
    assert {email.subject for email in mail.outbox} == {"We found no swing in the clip"}
    assert guardian.email in {email.to[0] for email in mail.outbox}

"""Fills a site that runs: a family with a submission that waits for its clip, and a coach with one that is measured.

`python -m tests.house.embedded_family`, told where by the environment. Prints one line of JSON.
"""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path

import django


def main() -> dict[str, str]:
    """Make them; what a test needs to ask as one of them."""
    from portal.camps.models import Camp
    from portal.intake.models import Submission
    from portal.intake.states import State
    from tests.bench import family
    from tests.portal import conftest as people
    from tests.portal import material

    told = family.main()
    coach = people.make_user("maren@example.org", "Maren Oduya", is_coach=True)
    camp = Camp.objects.get()
    camp.coaches.add(coach)
    player = Submission.objects.get().player
    with tempfile.TemporaryDirectory() as folder:
        material.write_products(Path(folder))
        name = next(path.name for path in Path(folder).iterdir() if path.suffix == ".pack")
        told["media_length"] = str((Path(folder) / name).stat().st_size)
        clip = people.make_measured_clip(people.make_submission(player, camp, State.READY), Path(folder))
    return {**told, "coach_cookie": family.session_of(coach), "media": f"/clips/{clip.pk}/{name}"}


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "portal.settings")
    django.setup()
    print(json.dumps(main()))

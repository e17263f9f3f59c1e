"""The process that test_kill.py kills: each "go" on its input forks one that saves and publishes until it is killed.

It says what holds, a line at a time, after the call has come back: "draft <pk> <version> <words>", "edition <pk> <number>".
"""

from __future__ import annotations

import itertools
import os
import sys

import django


def say(*words: object) -> None:
    os.write(1, (" ".join(map(str, words)) + "\n").encode())


def work(pks: list[int]) -> None:
    from portal.desk import claims, drafts
    from portal.desk.models import Review
    from portal.evaluations.publish import publish

    for n, pk in zip(itertools.count(), itertools.cycle(pks), strict=False):
        review = Review.objects.select_related("submission__reviewer").get(pk=pk)
        coach = review.submission.reviewer
        claims.claim(review.submission, coach)  # an edition that is out is reviewed anew
        words = f"{os.getpid()}-{n}"
        version = drafts.change(review, coach, drafts.Sender(review.version), words, drafts.set_fields(closing=words))
        say("draft", pk, version, words)
        made = publish(Review.objects.get(pk=pk), coach)
        say("edition", made.pk, made.edition)


def main() -> None:
    django.setup()
    from portal.evaluations import publish, tasks  # noqa: F401 (all that a child needs is there before it is made)

    say("ready")
    for _line in sys.stdin:
        if (child := os.fork()) == 0:
            work([int(pk) for pk in sys.argv[1:]])
            os._exit(0)
        say("pid", child)
        os.waitpid(child, 0)
        say("ended")


if __name__ == "__main__":
    main()

"""The desk's views, one module per thing that a coach does."""

from portal.desk.views.changes import assignment, changes, counting, draft, markup, rating
from portal.desk.views.compare import compare
from portal.desk.views.desk import cards, desk, preview, skeleton, still
from portal.desk.views.ending import film_again, publish
from portal.desk.views.handing_over import hand_over_from_desk, hand_over_ticked
from portal.desk.views.holding import claim, release, reread_seen, swing
from portal.desk.views.phrases import delete_phrase, phrase, phrases, phrases_list
from portal.desk.views.queue import queue
from portal.desk.views.wanted import wanted

__all__ = [
    "assignment",
    "cards",
    "changes",
    "claim",
    "compare",
    "counting",
    "delete_phrase",
    "desk",
    "draft",
    "film_again",
    "hand_over_from_desk",
    "hand_over_ticked",
    "markup",
    "phrase",
    "phrases",
    "phrases_list",
    "preview",
    "publish",
    "queue",
    "rating",
    "release",
    "reread_seen",
    "skeleton",
    "still",
    "swing",
    "wanted",
]

"""A place of a phrase that was never filled."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from portal.desk.doubts.doubt import Doubt
from portal.desk.doubts.draft import Draft
from portal.desk.phrases.places import BRACES


def doubts(draft: Draft) -> Iterator[Doubt]:
    for passage in draft.passages:
        if found := BRACES.search(passage.text):
            said = _(
                "“%(place)s” in %(where)s is the place of a phrase, and nothing stands in it. Write what belongs there."
            )
            yield Doubt(said % {"place": found[0], "where": passage.where}, passage.place)

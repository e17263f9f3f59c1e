"""What the PDF has no room for on its two pages."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.text import get_text_list
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from portal.desk.doubts.doubt import GOOD, PLAN, THING, Doubt, Place
from portal.desk.doubts.draft import Draft
from portal.desk.stops import PREVIEW
from portal.evaluations import foretold

PLACES = {
    "greeting": Place(PREVIEW, "greeting"),
    "good": GOOD,
    "thing": THING,
    "closing": Place(PREVIEW, "closing"),
}


def doubts(draft: Draft) -> Iterator[Doubt]:
    """One sentence for drills and words together: what goes on behind, and what would bring it to the front."""
    from portal.evaluations.snapshot import build  # which reads a draft as this look does

    on = foretold.goes_on(build(draft.review, None, edition=1))
    if not on:
        return
    names = {
        "greeting": _("the end of the greeting"),
        "good": _("some of what is already good"),
        "thing": _("the end of the one thing"),
        "closing": _("the end of the closing words"),
    }
    goes = [_drills(on)] if on.drills else []
    goes += [names[passage] for passage in on.passages]
    said = _("The PDF is longer than its two pages: %(what)s will stand in the annex behind them.")
    how = _("Shorten what you wrote.") if on.passages else _("Shorten what you wrote or take a drill out.")
    place = PLACES[on.passages[0]] if on.passages else PLAN
    yield Doubt(f"{said % {'what': get_text_list(goes, _('and'))}} {how} {_('Or leave it so: nothing is lost.')}", place)


def _drills(on: foretold.GoesOn) -> str:
    if on.drills == on.all_drills:
        return ngettext("the drill", "all the drills", on.drills)
    return ngettext("the last drill", "the last %(n)d drills", on.drills) % {"n": on.drills}


"""The wanted position of a checkpoint, for the coach to draw over the frame."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from portal import access
from portal.desk import drafts
from portal.desk.swings import swing_of
from portal.evaluations.models import What
from portal.look.words import with_unit
from portal.measuring.door import TracksError, load_tracks
from portal.measuring.wanted import NoneWanted, wanted_position


@login_required
@never_cache
@require_GET
def wanted(request: HttpRequest, pk: UUID) -> JsonResponse:
    """{"frame", "shape"}: of ?checkpoint=, made from the reading of the swing shown; or
    {"words"}, why there is none to make.
    """
    submission = access.get_desk_submission(request.user, pk, shows=What.NUMBERS)
    review = drafts.draft_to_show(submission)
    swing = swing_of(review)
    if review.clip is None or swing is None:
        raise Http404
    measurement = review.clip.measurement
    try:
        tracks = load_tracks(measurement.tracks)
        found = wanted_position(tracks, measurement.corrections or {}, swing, request.GET.get("checkpoint", ""))
    except NoneWanted as why:
        return JsonResponse({"words": str(why)})
    except (TracksError, OSError):
        return JsonResponse({"words": _("What was seen in this film cannot be read just now.")})
    text = _("wanted: %(edge)s") % {"edge": with_unit(round(found.edge), found.unit)}
    shape = {"kind": "ghost", "tone": "wanted", "points": found.points, "text": text}
    return JsonResponse({"frame": found.frame, "shape": shape})

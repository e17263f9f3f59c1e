"""Side by side: the swing shown and another one of the same player."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, JsonResponse
from django.template.loader import render_to_string
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from portal import access
from portal.desk import comparing, drafts
from portal.desk.swings import Swing, result_of, swing_of
from portal.evaluations.models import What
from portal.intake.models import Clip


@login_required
@never_cache
@require_GET
def compare(request: HttpRequest, pk: UUID) -> JsonResponse:
    """{"choices"}, and with ?with=clip:swing also {"this", "other", "html"}: both films, and both readings in words."""
    submission = access.get_desk_submission(request.user, pk, shows=What.NUMBERS)
    user, review = access.require_coach(request.user), drafts.draft_to_show(submission)
    shown = swing_of(review)
    if review.clip is None or shown is None:
        raise Http404
    answer: dict[str, object] = {"choices": comparing.others(user, review, shown)}
    if asked := request.GET.get("with", ""):
        clip, swing = _asked(request, asked)
        if clip.submission.player_id != submission.player_id:
            raise Http404
        both = {"rows": comparing.rows((review.clip, shown), (clip, swing))}
        answer["this"], answer["other"] = comparing.side_of(review.clip, shown), comparing.side_of(clip, swing)
        answer["html"] = render_to_string("desk/compare_rows.html", both, request)
    return JsonResponse(answer)


def _asked(request: HttpRequest, asked: str) -> tuple[Clip, Swing]:
    """A swing of a clip that this coach may see; the look at its numbers is noted."""
    name, _colon, index = asked.partition(":")
    try:
        clip = access.get_desk_clip(request.user, UUID(name), shows=What.NUMBERS)
        wanted = int(index)
    except ValueError:
        raise Http404 from None
    swing = next((one for one in result_of(clip).get("swings", []) if one["index"] == wanted), None)
    if swing is None:
        raise Http404
    return clip, swing

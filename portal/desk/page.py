"""Everything that the desk's page and its modules need, gathered once."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from django.templatetags.static import static
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from portal.desk import counting
from portal.desk.headline import headline
from portal.desk.messages import messages
from portal.desk.models import Review
from portal.desk.overview import overview, spans
from portal.desk.stops import PREVIEW, STOPS, first_frame
from portal.desk.swings import result_of, swing_of
from portal.desk.tables import tables
from portal.drills.models import Drill
from portal.drills.set_up import CHOICES, COUNTS, DEFAULTS, completed
from portal.evaluations.parts import TABLE as MARKS
from portal.intake.models import Clip
from portal.measuring import rereading
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, plate_fits


def film_of(review: Review) -> dict[str, Any]:
    return result_of(review.clip).get("film", {})


def swing_choices(clips: list[Clip], review: Review) -> list[dict[str, Any]]:
    """Every swing of every measured clip, as the chooser offers them; swings keep their number when others are taken out."""
    choices = []
    shown = swing_of(review)
    for number, clip in enumerate(clips, start=1):
        result = result_of(clip)
        removed = clip.measurement.corrections.get("remove_swings") or []
        count = max([*(swing["index"] for swing in result["swings"]), *removed], default=-1) + 1
        for swing in result["swings"] or [None]:
            index = swing["index"] if swing else 0
            words = _("swing %(n)d of %(all)d") % {"n": index + 1, "all": count} if swing else _("no swing")
            if len(clips) > 1:
                words = _("clip %(n)d, %(swing)s") % {"n": number, "swing": words}
            if swing and not swing["reaches_contact"]:
                words += ", " + _("checked")
            chosen = clip.pk == review.clip_id and swing == shown
            choices.append({"value": f"{clip.pk}:{index}", "words": words, "chosen": chosen})
    return choices


def desk_data(review: Review, stop: str, is_mine: bool) -> dict[str, Any]:
    """What the browser modules start from (see static/js/desk/types.js)."""
    clip = review.clip
    swing = swing_of(review)
    return {
        "stop": stop,
        "stops": list(STOPS),
        **_always_said(get_language()),
        "editable": is_mine,
        "submission": str(review.submission_id),
        "player": review.submission.player.first_name,
        "called_before": review.called_before,
        "urls": _urls(review),
        "clip": clip_about(clip, swing) if clip else None,
        "first": _first(clip, swing, stop) if clip and stop != PREVIEW else None,
        "swing": swing,
        "swing_index": swing["index"] if swing else review.swing,
        "swings": spans(clip) if clip else [],
        "counting": {str(one["index"]): one in counting.counted(review) for one in result_of(clip).get("swings", [])},
        "film": film_of(review),
        "corrections": clip.measurement.corrections if clip else {},
        "corrections_version": clip.measurement.corrections_version if clip else 0,
        "plate_fits": plate_fits(clip.measurement) if clip else None,
        "news": rereading.stamp(rereading.unseen(clip)),
        "draft": _draft(review),
        "made": [token for token, _version in review.made],
        "ratings": {r.checkpoint: {"rate": r.rate, "words": r.words} for r in review.ratings.all()},
        "marks": MARKS,
        "markups": [_markup(m) for m in review.markups.filter(clip=clip)] if clip else [],
        "assignments": [_assignment(a) for a in review.assignments.select_related("drill")],
        "drills": [_drill(drill) for drill in Drill.objects.filter(retired=False)],
    }


@lru_cache(maxsize=16)
def _always_said(_language: str | None) -> dict[str, Any]:
    """What every desk says in a language, whatever lies on it: not to be changed. Some six hundred sentences."""
    return {
        "names": {**{name: _(words) for name, words in INSTANT_NAMES.items()}, "preview": _("Preview")},
        "set_up": _set_up_fields(),
        "book": {entry.id: _entry(entry) for entry in CHECKPOINTS},
        "messages": messages(),
    }


def _urls(review: Review) -> dict[str, str]:
    pk = review.submission_id
    names = (
        "draft",
        "rating",
        "counting",
        "markup",
        "assignment",
        "changes",
        "cards",
        "preview",
        "swing",
        "wanted",
        "compare",
    )
    return {
        **{name: reverse(f"desk_{name}", args=[pk]) for name in names},
        "desk": reverse("desk", args=[pk]),
        "decoder": static("js/desk/webcodecs.js"),
        "phrases": reverse("phrases_list"),
    }


def clip_about(clip: Clip, swing: dict[str, Any] | None) -> dict[str, Any]:
    """Where a clip's pictures and keypoints are, and what it shows as a whole."""
    about = result_of(clip)["clip"]
    return {
        "id": str(clip.pk),
        "width": about["width"],
        "height": about["height"],
        "frames": about["frames"],
        "has_sound": about.get("has_sound", False),
        "files": reverse("clip_file", args=[clip.pk, "x"]).removesuffix("x"),
        "skeleton": reverse("clip_skeleton", args=[clip.pk]),
        "corrections": reverse("clip_correct", args=[clip.pk]),
        **overview(clip, swing),
    }


def _first(clip: Clip, swing: dict[str, Any] | None, stop: str) -> dict[str, Any]:
    """The frame that is shown first, and its still: the page asks for it beside the scripts. And where all frames lie."""
    frame = first_frame(swing, stop)
    return {"frame": frame, "still": reverse("clip_still", args=[clip.pk, frame]), "tables": tables(clip.measurement)}


def _draft(review: Review) -> dict[str, Any]:
    names = (
        "version",
        "greeting",
        "good",
        "thing_checkpoint",
        "thing_title",
        "thing_words",
        "closing",
        "pronoun",
        "lighter_clips",
    )
    return {name: getattr(review, name) for name in names}


def _markup(markup: Any) -> dict[str, Any]:
    names = ("frame", "instant", "shapes", "show_skeleton", "caption", "in_evaluation", "for_thing", "keep_others")
    return {name: getattr(markup, name) for name in names}


def _assignment(assignment: Any) -> dict[str, Any]:
    return {
        "drill": assignment.drill.slug,
        "set_up": completed(assignment.set_up),
        "goal": assignment.goal,
        "words": assignment.words,
    }


def _drill(drill: Drill) -> dict[str, Any]:
    about = {name: getattr(drill, name) for name in ("slug", "title", "trains", "against", "in_short", "goal")}
    return {**about, "set_up": completed(drill.set_up)}


def _set_up_fields() -> dict[str, Any]:
    """What a set-up can hold, with the words of its choices, in the order in which a coach thinks of it."""
    labels = {
        "ball": _("Ball"), "tee_height": _("Tee, how high"), "tee_across": _("Tee, across the plate"),
        "tee_depth": _("Tee, how far ahead"), "stride_foot": _("Front foot"), "flies": _("Ball flies"),
        "rounds": _("Rounds"), "swings": _("Swings a round"), "days": _("Days a week"),
    }  # fmt: skip
    return {
        name: {
            "label": label,
            "choices": [[value, str(words)] for value, words in CHOICES[name].items()] if name in CHOICES else None,
            "range": list(COUNTS[name]) if name in COUNTS else None,
            "default": DEFAULTS[name],
        }
        for name, label in labels.items()
    }


def _entry(entry: Any) -> dict[str, Any]:
    return {
        "name": _(entry.name), "instant": entry.instant, "good_words": _(entry.good_words),
        "why": _(entry.why), "words": {side: _(entry.words_for(side)) for side in ("low", "high")},
        "sides": {side: _(entry.side_words(side)) for side in ("low", "high")},
        "headlines": {side: headline(_(entry.words_for(side))) for side in ("low", "high")},
    }  # fmt: skip

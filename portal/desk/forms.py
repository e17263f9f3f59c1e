"""What the desk may send, one form per kind of change. `told` gives only what was sent: nothing else is touched."""

from __future__ import annotations

import re
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from portal.desk.drafts import Sender
from portal.desk.models import Rate
from portal.desk.shapes import clean_shapes
from portal.desk.swings import frames_of, result_of
from portal.drills.models import Drill
from portal.drills.set_up import SetUpFault, completed
from portal.intake.models import Clip, Submission
from portal.measuring.door import CHECKPOINTS, INSTANTS
from portal.people.models import PRONOUNS, User

CHECKPOINT_IDS = [(entry.id, entry.name) for entry in CHECKPOINTS]
MAX_GOOD = 12
MAX_VERSION = 2**31 - 2  # the column holds one more
MAX_SENTENCE = 400
MOST_AT_ONCE = 100  # lines of the queue in one post
MOST_CHANGES = 50  # in one post of a window that goes: fewer than the draft remembers (drafts.py)
MOST_FOLLOWED = 20
MOST_LIGHTER = 100


class Version(forms.Form):
    """On top of which version the change was made, its token, and the window that made it with those it follows.

    What a form takes as `forms.Field` was JSON in the body (portal/json_body.py) and is looked at by its `clean_` method.
    """

    version = forms.IntegerField(min_value=0, max_value=MAX_VERSION)
    change = forms.CharField(max_length=36, required=False)
    window = forms.CharField(max_length=36, required=False)
    follows = forms.Field(required=False)

    def clean_follows(self) -> tuple[str, ...]:
        named = self.cleaned_data["follows"] or []
        if not isinstance(named, list) or not all(isinstance(one, str) for one in named):
            raise ValidationError(_("The windows before this one are a list of names."))
        return tuple(named[:MOST_FOLLOWED])

    def sender(self) -> Sender:
        return Sender(self.cleaned_data["version"], self.cleaned_data["window"], self.cleaned_data["follows"])


class ChangesForm(Version):
    """Several changes, in the order in which they were made, each with its `kind` and `change` beside its own fields."""

    changes = forms.Field()

    def clean_changes(self) -> list[dict[str, Any]]:
        given = self.cleaned_data["changes"]
        if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
            raise ValidationError(_("The changes are a list of objects."))
        if len(given) > MOST_CHANGES:
            raise ValidationError(_("That is too much at once. Load the page anew and try once more."))
        return given


class DraftForm(Version):
    """Any of the write-up's fields."""

    greeting = forms.CharField(required=False, max_length=2000, strip=False)
    good = forms.Field(required=False)
    thing_checkpoint = forms.ChoiceField(required=False, choices=[("", ""), *CHECKPOINT_IDS])
    thing_title = forms.CharField(required=False, max_length=120)
    thing_words = forms.CharField(required=False, max_length=3000, strip=False)
    closing = forms.CharField(required=False, max_length=2000, strip=False)

    pronoun = forms.ChoiceField(required=False, choices=PRONOUNS)
    lighter_clips = forms.Field(required=False)

    WRITE_UP = ("greeting", "good", "thing_checkpoint", "thing_title", "thing_words", "closing", "pronoun", "lighter_clips")

    def clean_good(self) -> list[str]:
        sentences = self.cleaned_data["good"] or []
        if not isinstance(sentences, list) or not all(isinstance(sentence, str) for sentence in sentences):
            raise ValidationError(_("The good things are a list of sentences."))
        kept = [sentence.strip() for sentence in sentences if sentence.strip()]
        if len(kept) > MAX_GOOD or any(len(sentence) > MAX_SENTENCE for sentence in kept):
            raise ValidationError(
                _("At most twelve good things, each shorter than 400 characters, so that a child reads them.")
            )
        return kept

    def clean_lighter_clips(self) -> list[str]:
        given = self.cleaned_data["lighter_clips"] or []
        if not isinstance(given, list) or len(given) > MOST_LIGHTER or not all(_is_id(one) for one in given):
            raise ValidationError(_("The clips that are sent lighter are a list of clips."))
        return given

    def told(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.WRITE_UP if name in self.data}


class RatingForm(Version):
    checkpoint = forms.ChoiceField(choices=CHECKPOINT_IDS)
    rate = forms.ChoiceField(required=False, choices=[("", ""), *Rate.choices])
    words = forms.CharField(required=False, max_length=300)


class CountingForm(Version):
    """Whether a swing of a clip of this submission counts."""

    clip = forms.ModelChoiceField(Clip.objects.none())
    swing = forms.IntegerField(min_value=0, max_value=999)
    counts = forms.BooleanField(required=False)

    def __init__(self, data: dict[str, Any], submission: Submission) -> None:
        super().__init__(data)
        clip = self.fields["clip"]
        assert isinstance(clip, forms.ModelChoiceField)
        clip.queryset = Clip.objects.filter(submission=submission)

    def clean(self) -> dict[str, Any]:
        """Only a swing that the clip has can count."""
        said = super().clean() or self.cleaned_data
        if said.get("clip") is not None and said.get("swing") is not None:
            indices = [swing["index"] for swing in result_of(said["clip"]).get("swings", [])]
            if said["swing"] not in indices:
                self.add_error("swing", _("This clip has no swing %(n)d any more.") % {"n": said["swing"] + 1})
        return said


class MarkUpForm(Version):
    """The drawing of one frame of a clip of this submission."""

    clip = forms.ModelChoiceField(Clip.objects.none())
    frame = forms.IntegerField(min_value=0, max_value=1_000_000)
    instant = forms.ChoiceField(required=False, choices=[("", ""), *((name, name) for name in INSTANTS)])
    shapes = forms.Field(required=False)
    show_skeleton = forms.BooleanField(required=False)
    caption = forms.CharField(required=False, max_length=200)
    in_evaluation = forms.BooleanField(required=False)
    for_thing = forms.BooleanField(required=False)
    keep_others = forms.BooleanField(required=False)

    def __init__(self, data: dict[str, Any], submission: Submission) -> None:
        super().__init__(data)
        clip = self.fields["clip"]
        assert isinstance(clip, forms.ModelChoiceField)
        clip.queryset = Clip.objects.filter(submission=submission)

    def clean_shapes(self) -> list[dict[str, Any]]:
        return clean_shapes(self.cleaned_data["shapes"] or [])

    def clean(self) -> dict[str, Any]:
        """Only a frame that the clip has can be drawn on; a picture of any other could never be made."""
        said = super().clean() or self.cleaned_data
        if said.get("clip") is not None and said.get("frame") is not None:
            frames = frames_of(said["clip"])
            if said["frame"] >= frames:
                self.add_error("frame", _("This clip has %(n)d frames, and none of that number.") % {"n": frames})
        return said

    def picture(self) -> dict[str, Any]:
        names = ("instant", "shapes", "show_skeleton", "caption", "in_evaluation", "for_thing", "keep_others")
        return {name: self.cleaned_data[name] for name in names}


class AssignmentForm(Version):
    """A drill of the library for this player, or (with `remove`) no longer."""

    drill = forms.ModelChoiceField(Drill.objects.all(), to_field_name="slug")
    remove = forms.BooleanField(required=False)
    set_up = forms.Field(required=False)
    goal = forms.CharField(required=False, max_length=200)
    words = forms.CharField(required=False, max_length=300)

    def clean_set_up(self) -> dict[str, Any]:
        given = self.cleaned_data["set_up"] or {}
        try:
            if not isinstance(given, dict):
                raise SetUpFault("a set-up names what goes where")
            return completed(given)
        except SetUpFault as fault:
            raise ValidationError(str(fault)) from fault


class SwingForm(forms.Form):
    """Which swing of which clip is evaluated: `clip` and `swing` in one choice."""

    choice = forms.RegexField(r"^[0-9a-f-]{36}:\d{1,3}$")
    stop = forms.CharField(required=False, max_length=12)

    def told(self) -> tuple[str, int]:
        clip, _colon, swing = self.cleaned_data["choice"].partition(":")
        return clip, int(swing)


class FilmAgainForm(forms.Form):
    """The coach's reason for asking for a new clip, read by the family.

    `from_whom` is the reviewer whom the page named. While another coach reviews it, `anyway` has to be ticked.
    """

    words = forms.CharField(
        label=_("What should they film differently?"),
        help_text=_("The family reads this as you write it. Say what you could not see, and where to stand instead."),
        min_length=12,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 5}),
        error_messages={"min_length": _("A few more words, please: the family should know what to do differently.")},
    )
    from_whom = forms.IntegerField(required=False, min_value=1, max_value=2**63 - 1, widget=forms.HiddenInput)

    def __init__(self, *args: Any, held_by: User | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if held_by is not None:
            self.fields["anyway"] = forms.BooleanField(
                label=_("End the review of %(name)s and ask all the same") % {"name": held_by},
                error_messages={"required": _("Tick this if you have agreed on it, or leave it to who reviews it.")},
            )


class HandOverForm(forms.Form):
    """Which reviews of a page of the queue go to which coach. `which` names each with the coach who held it then."""

    to = forms.IntegerField(min_value=1, max_value=2**63 - 1)
    words = forms.CharField(required=False, max_length=200)
    back = forms.CharField(required=False, max_length=400)

    def which(self) -> list[tuple[UUID, int | None]]:
        """The submissions and their holders, as far as the page can have named them; at most a page of them."""
        assert isinstance(self.data, QueryDict)
        named = (_named(text) for text in self.data.getlist("which")[:MOST_AT_ONCE])
        return [one for one in named if one]


def _is_id(one: Any) -> bool:
    return isinstance(one, str) and re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", one) is not None


def _named(text: str) -> tuple[UUID, int | None] | None:
    """ "submission:coach", the coach left out where nobody held it; None for what no page of ours says."""
    pk, _colon, holder = text.partition(":")
    if not re.fullmatch(r"[0-9a-f-]{32,36}", pk) or not re.fullmatch(r"[0-9]{0,18}", holder):
        return None
    try:
        return UUID(pk), int(holder) if holder else None
    except ValueError:
        return None

"""Forms of the drill library: a drill, and the set-up that a drill and an assignment share."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.text import slugify
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from portal.drills.fitting import BOTH, HIGH, LOW, SIDES
from portal.drills.models import Drill
from portal.drills.set_up import CHOICES, COUNTS, completed
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, INSTANTS, Checkpoint, checkpoint

SET_UP_LABELS = {
    "ball": _("Ball"),
    "tee_height": _("Height of the tee"),
    "tee_across": _("Tee, across the plate"),
    "tee_depth": _("Tee, along the plate"),
    "stride_foot": _("Where the front foot goes"),
    "flies": _("Where the ball should fly"),
    "rounds": _("Rounds"),
    "swings": _("Swings in a round"),
    "days": _("Days a week"),
}


def checkpoint_choices() -> list[tuple[Any, list[tuple[str, str]]]]:
    """What a drill can be against, grouped by the stop: each side of a checkpoint, or one that only the eye rates."""
    return [
        (_now(INSTANT_NAMES[instant]), [pair for c in CHECKPOINTS if c.instant == instant for pair in _sides_of(c)])
        for instant in INSTANTS
    ]


def _sides_of(entry: Checkpoint) -> list[tuple[str, str]]:
    if entry.by_eye:
        return [(entry.id, _now(entry.name))]
    return [(f"{entry.id}:{side}", f"{_now(entry.name)}: {_now(entry.side_words(side))}") for side in SIDES]


def chosen_sides(drill: Drill) -> list[str]:
    """The choices that stand for what a drill is against; none for a checkpoint whose side was never said."""
    sides = {LOW: [LOW], HIGH: [HIGH], BOTH: [LOW, HIGH]}
    said = [(entry, drill.against.get(entry, "")) for entry in drill.trains]
    eye = [entry for entry in drill.trains if checkpoint(entry).by_eye]
    return [*eye, *(f"{entry}:{side}" for entry, against in said for side in sides.get(against, []))]


def against_of(chosen: list[str]) -> dict[str, str]:
    """The other way round: each chosen checkpoint with the side that the drill is against ("" where the eye rates it)."""
    against: dict[str, str] = {}
    for choice in chosen:
        entry, _colon, side = choice.partition(":")
        against[entry] = BOTH if entry in against else side
    return against


class SetUpForm(forms.Form):
    """The set-up of a drill. `as_set_up()` gives the dict that is stored."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = completed(kwargs.get("initial"))
        super().__init__(*args, **kwargs)
        for key, choices in CHOICES.items():
            self.fields[key] = forms.ChoiceField(
                label=SET_UP_LABELS[key], choices=list(choices.items()), required="" not in choices
            )
        for key, (least, most) in COUNTS.items():
            self.fields[key] = forms.IntegerField(label=SET_UP_LABELS[key], min_value=least, max_value=most)

    def as_set_up(self) -> dict[str, Any]:
        return completed(self.cleaned_data)


class LinesField(forms.CharField):
    """A list of sentences, one a line."""

    widget = forms.Textarea

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list) else value

    def to_python(self, value: Any) -> Any:
        return [line.strip() for line in (super().to_python(value) or "").splitlines() if line.strip()]

    def validate(self, value: Any) -> None:
        if self.required and not value:
            raise forms.ValidationError(self.error_messages["required"], code="required")

    def run_validators(self, value: Any) -> None:
        for line in value:
            super().run_validators(line)


class DrillForm(forms.ModelForm):
    """A coach's own drill, in words a ten-year-old understands."""

    trains = forms.MultipleChoiceField(
        label=_("What it helps against"),
        help_text=_("Both sides of one checkpoint where the drill leads to the middle from either."),
        choices=checkpoint_choices,
        widget=forms.CheckboxSelectMultiple,
    )
    steps = LinesField(label=_("How to do it"), help_text=_("One step a line, as you would say it to a ten-year-old."))
    cautions = LinesField(
        label=_("Cautions of its own"),
        required=False,
        help_text=_("One a line. The usual ones (look around, net, helmet, stop at pain) are added by themselves."),
    )

    class Meta:
        model = Drill
        fields = ["title", "in_short", "for_whom", "trains", "steps", "goal", "watch_for", "cautions", "retired"]
        labels = {"retired": _("No longer offer this drill at the desk")}
        help_texts = {
            "goal": _("Something the player can see without a coach: where the ball flies, what still stands.")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["trains"] = chosen_sides(self.instance)

    def clean_title(self) -> str:
        title: str = self.cleaned_data["title"]
        slug = slugify(title)[:60]
        if not slug:
            raise forms.ValidationError(_("Please give the drill a name with letters in it."))
        if self.instance.pk is None and Drill.objects.filter(slug=slug).exists():
            raise forms.ValidationError(_("There is a drill with this name already. Please choose another."))
        return title

    def clean_trains(self) -> list[str]:
        against = against_of(self.cleaned_data["trains"])
        self.instance.against = {entry: side for entry, side in against.items() if side}
        return list(against)

    def save(self, commit: bool = True) -> Drill:
        if self.instance.pk is None:
            self.instance.slug = slugify(self.cleaned_data["title"])[:60]
        return super().save(commit)

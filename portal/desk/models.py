"""The desk: the coach's draft of an evaluation, saved as they go."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from portal.drills.models import Drill
from portal.intake.models import Clip, Submission
from portal.people.models import PRONOUNS, User


class Rate(models.TextChoices):
    GOOD = "good", _("good")
    WATCH = "watch", _("watch")
    WORK_ON = "work_on", _("work on")


class Review(models.Model):
    """The draft. One per submission; publishing copies it into an edition and leaves it for corrections."""

    submission = models.OneToOneField(Submission, on_delete=models.CASCADE, related_name="review")
    clip = models.ForeignKey(Clip, null=True, on_delete=models.SET_NULL, related_name="+")
    swing = models.PositiveSmallIntegerField(default=0, help_text=_("Which swing of the clip is shown."))
    counting: models.JSONField[dict[str, dict[str, bool]], dict[str, dict[str, bool]]] = models.JSONField(
        default=dict,
        blank=True,
        help_text=_("Which swings count, as the coach said: by clip and the swing’s index. See counting.py."),
    )
    greeting = models.TextField(_("greeting"), blank=True)
    good: models.JSONField[list[str], list[str]] = models.JSONField(
        default=list, blank=True, help_text=_("What is already good, one sentence each.")
    )
    thing_checkpoint = models.CharField(max_length=40, blank=True, help_text=_("The one thing: a checkpoint id."))
    thing_title = models.CharField(_("the one thing"), max_length=120, blank=True)
    thing_words = models.TextField(_("why it matters"), blank=True)
    closing = models.TextField(_("closing words"), blank=True)
    pronoun = models.CharField(
        max_length=4,
        choices=PRONOUNS,
        blank=True,
        default="",
        help_text=_("What phrases call this player here. Empty: as they were called before."),
    )
    lighter_clips: models.JSONField[list[str], list[str]] = models.JSONField(
        default=list,
        blank=True,
        help_text=_("The clips whose pictures and slow motion are sent lighter than they were filmed."),
    )
    version = models.PositiveIntegerField(
        default=0, help_text=_("Raised with every change; a stale window is told so.")
    )
    made: models.JSONField[list[tuple[str, int]], list[tuple[str, int]]] = models.JSONField(
        default=list,
        blank=True,
        help_text=_("The newest changes: token and the version it made; one sent again is not made twice."),
    )
    window = models.CharField(
        max_length=36, blank=True, default="", help_text=_("The browser window that made the newest change.")
    )
    alone_since = models.PositiveIntegerField(
        default=0, help_text=_("The version since which nobody but that window changed the draft.")
    )
    saved_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"Draft for {self.submission.player}"

    def sends_lighter(self, clip: uuid.UUID) -> bool:
        return str(clip) in self.lighter_clips

    @property
    def called(self) -> str:
        """he, she or they: as the coach chose here, else as the player was called before."""
        return self.pronoun or self.called_before

    @property
    def called_before(self) -> str:
        """What phrases say until the coach chooses here."""
        return self.submission.player.pronoun or "they"


class Rating(models.Model):
    """What the coach says of one checkpoint: a rate, or words alone, which rate nothing."""

    review = models.ForeignKey(Review, on_delete=models.CASCADE, related_name="ratings")
    checkpoint = models.CharField(max_length=40)
    rate = models.CharField(max_length=8, choices=Rate, blank=True)
    words = models.CharField(max_length=300, blank=True)
    clip = models.ForeignKey(
        Clip,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="+",
        help_text=_("The clip that it was said of, whose number stood beside it; empty where that was not noted."),
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["review", "checkpoint"], name="one_rating_per_checkpoint"),
            models.CheckConstraint(condition=models.Q(rate__in=["", *Rate.values]), name="rate_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.checkpoint}: {self.rate}"


class MarkUp(models.Model):
    """What the coach drew on one frame. `shapes` is a list of {"kind", "points", "tone", "text"} as in shapes.py,
    with points in upright clip pixels, so that every size of still shows the same drawing.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    review = models.ForeignKey(Review, on_delete=models.CASCADE, related_name="markups")
    clip = models.ForeignKey(Clip, on_delete=models.CASCADE, related_name="+")
    frame = models.PositiveIntegerField()
    instant = models.CharField(max_length=12, blank=True)
    shapes: models.JSONField[list[dict[str, Any]], list[dict[str, Any]]] = models.JSONField(default=list)
    show_skeleton = models.BooleanField(default=False)
    caption = models.CharField(max_length=200, blank=True)
    in_evaluation = models.BooleanField(default=True)
    for_thing = models.BooleanField(default=False, help_text=_("The picture beside the one thing."))
    keep_others = models.BooleanField(
        default=False, help_text=_("Show the people beside the hitter, and all else around.")
    )

    class Meta:
        constraints = [models.UniqueConstraint(fields=["review", "clip", "frame"], name="one_markup_per_frame")]
        ordering = ["frame"]

    def __str__(self) -> str:
        return f"Frame {self.frame}"


class Assignment(models.Model):
    """A drill of the practice plan with its set-up for this player."""

    review = models.ForeignKey(Review, on_delete=models.CASCADE, related_name="assignments")
    drill = models.ForeignKey(Drill, on_delete=models.PROTECT, related_name="+")
    set_up: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(default=dict)
    goal = models.CharField(max_length=200, blank=True)
    words = models.CharField(max_length=300, blank=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["review", "drill"], name="one_assignment_per_drill")]
        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return str(self.drill)


class HandOver(models.Model):
    """The log of reviews that were given to another coach. `from_coach` is empty where nobody held it before."""

    submission = models.ForeignKey(Submission, on_delete=models.CASCADE, related_name="hand_overs")
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    from_coach = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    to_coach = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    words = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"{self.submission.player} to {self.to_coach}, {self.at:%Y-%m-%d %H:%M}"


class Phrase(models.Model):
    """A sentence of a coach's own phrase book, with places for what is another player's each time (see phrases/places.py).

    `part` says where it belongs, `checkpoint` and `side` of what it was written, where that is known: the first draft goes by them.
    """

    coach = models.ForeignKey(User, on_delete=models.CASCADE, related_name="phrases")
    text = models.CharField(_("phrase"), max_length=400)
    part = models.CharField(max_length=8, blank=True)
    checkpoint = models.CharField(max_length=40, blank=True)
    side = models.CharField(max_length=4, blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["coach", "text"], name="one_phrase_each")]
        ordering = ["text"]

    def __str__(self) -> str:
        return self.text

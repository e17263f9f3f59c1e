"""Intake: consent, submissions and their clips."""

from __future__ import annotations

import uuid
from datetime import timedelta

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext as now_in_words
from django.utils.translation import gettext_lazy as _

from portal.camps.models import Camp
from portal.intake.states import MoveNotAllowed, State, may_move, sources_of, words_of
from portal.people.models import Player, User


class Consent(models.Model):
    """A guardian's (or adult player's) word that clips may be used, before anything is stored.

    Never edited: taken back, or given anew.
    """

    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="consents")
    camp = models.ForeignKey(Camp, on_delete=models.CASCADE, related_name="consents")
    given_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="consents")
    wording = models.CharField(max_length=20, help_text=_("Version of the words agreed to."))
    training_too = models.BooleanField(_("may also train other coaches"), default=False)
    given_at = models.DateTimeField(auto_now_add=True)
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                # of each person: beside the word of a player who turned out to be a minor stands the guardian's
                fields=["player", "camp", "given_by"],
                condition=models.Q(taken_back_at=None),
                name="one_holding_consent",
            )
        ]

    def __str__(self) -> str:
        return f"{self.giver} for {self.player}"

    @property
    def giver(self) -> str:
        """Who agreed, by name, also when their account is gone and the player stayed with another guardian."""
        return str(self.given_by) if self.given_by else now_in_words("a guardian who has left")

    @property
    def holds(self) -> bool:
        return self.taken_back_at is None


class Submission(models.Model):
    """One request for an evaluation: a player, one or more clips, a note from the family."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    player = models.ForeignKey(Player, on_delete=models.CASCADE, related_name="submissions")
    camp = models.ForeignKey(Camp, on_delete=models.CASCADE, related_name="submissions")
    sent_by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="sent_submissions")
    note = models.TextField(_("note for the coach"), blank=True, max_length=1000)
    state = models.CharField(max_length=12, choices=State, default=State.UPLOADING, db_index=True)
    state_since = models.DateTimeField(default=timezone.now)
    film_again_words = models.TextField(blank=True, help_text=_("Why the coach asks for a new clip."))
    reviewer = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="reviewing")
    promised_by = models.DateField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    received_at = models.DateTimeField(null=True, blank=True)
    film_ended_at = models.DateTimeField(
        null=True, blank=True, help_text=_("When its film was deleted because the camp keeps it no longer.")
    )

    class Meta:
        ordering = ["promised_by", "created_at"]
        # The queue counts by state and coach and sorts by these days, for the camps of one coach: all of it stands here.
        indexes = [
            models.Index(
                fields=["camp", "state", "reviewer", "promised_by", "received_at", "created_at", "id"], name="queue"
            ),
            # And in the usual order of a list, of which a page needs the first lines alone.
            models.Index(fields=["promised_by", "received_at", "created_at", "id"], name="queue_due"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["player", "camp"], condition=models.Q(state=State.UPLOADING), name="one_open_submission"
            ),
            models.CheckConstraint(condition=models.Q(state__in=State.values), name="state_is_in_the_table"),
        ]

    def __str__(self) -> str:
        return f"{self.player}, {self.get_state_display()}"

    def get_state_display(self) -> str:  # type: ignore[no-redef]  # in place of the one that Django would make
        return words_of(self.state)

    @property
    def is_out(self) -> bool:
        """Whether its family has an edition to read of the newest clip that came, whatever a coach corrects meanwhile."""
        editions = self.evaluations.all()
        return bool((editions.filter(published_at__gte=self.received_at) if self.received_at else editions).exists())

    @property
    def is_corrected(self) -> bool:
        """Whether a coach works on the next edition of what is published."""
        return self.state == State.IN_REVIEW and self.is_out

    def move(self, to: State, **also: object) -> None:
        """Move to state `to`, saving the fields in `also` with it. One conditional update: of two movers only one wins.

        Raises MoveNotAllowed when the table does not hold the move or somebody else moved first.
        """
        if not may_move(self.state, to):
            raise MoveNotAllowed(self.state, to)
        now = timezone.now()
        changed = Submission.objects.filter(pk=self.pk, state=self.state, state__in=sources_of(to)).update(
            state=to, state_since=now, **also
        )
        if changed != 1:
            raise MoveNotAllowed(Submission.objects.values_list("state", flat=True).get(pk=self.pk), to)
        self.state, self.state_since = to, now
        for field, value in also.items():
            setattr(self, field, value)

    def promise(self) -> None:
        """Count the promised day from now, when the clip has arrived."""
        self.received_at = timezone.now()
        self.promised_by = (timezone.localtime(self.received_at) + timedelta(days=self.camp.turnaround_days)).date()
        self.save(update_fields=["received_at", "promised_by"])


def original_path(clip: Clip, filename: str) -> str:
    """Originals are sealed: a name of our own, never the family's file name."""
    return clip.place


class Clip(models.Model):
    """One video file of a submission. The original stays sealed; only what is made from it is shown."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    submission = models.ForeignKey(Submission, on_delete=models.CASCADE, related_name="clips")
    original = models.FileField(upload_to=original_path, max_length=200)
    name = models.CharField(max_length=120, help_text=_("The file's name as the family knows it."))
    size = models.BigIntegerField(default=0)
    sha256 = models.CharField(max_length=64, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["created_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["submission", "sha256"], condition=~models.Q(sha256=""), name="same_file_kept_once"
            )
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def place(self) -> str:
        """Where the original lies in the storage."""
        return f"originals/{self.pk}"

    @property
    def folder(self) -> str:
        """Where the things made from this clip lie in the storage."""
        return f"clips/{self.pk}"


class Upload(models.Model):
    """A clip on its way, in pieces (portal/intake/tus). Once whole it becomes the clip of the same id."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    submission = models.ForeignKey(Submission, on_delete=models.CASCADE, related_name="uploads")
    begun_by = models.ForeignKey(User, on_delete=models.CASCADE, related_name="uploads")
    name = models.CharField(max_length=120, help_text=_("The file's name as the family knows it."))
    size = models.BigIntegerField(help_text=_("How many bytes it will have."))
    mark = models.CharField(
        max_length=64, blank=True, help_text=_("What the page knows the file by when it is chosen again.")
    )
    metadata = models.TextField(blank=True, help_text=_("Upload-Metadata as it was sent."))
    begun_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField(db_index=True)
    clip = models.ForeignKey(
        Clip, null=True, blank=True, on_delete=models.CASCADE, help_text=_("The clip that came of it.")
    )

    class Meta:
        ordering = ["-begun_at"]

    def __str__(self) -> str:
        return f"{self.name}, {self.size} bytes"

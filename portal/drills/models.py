"""The drill library."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from portal.people.models import User


class Drill(models.Model):
    """An entry of the library. Shipped entries have no author; coaches add their own."""

    slug = models.SlugField(max_length=60, unique=True)
    title = models.CharField(_("title"), max_length=80)
    trains: models.JSONField[list[str], list[str]] = models.JSONField(
        default=list, help_text=_("Ids of the checkpoints it trains.")
    )
    against: models.JSONField[dict[str, str], dict[str, str]] = models.JSONField(
        default=dict,
        blank=True,
        help_text=_("Against which side of the band: checkpoint id to low, high or both. Missing: not said."),
    )
    for_whom = models.CharField(_("for whom"), max_length=160, blank=True)
    in_short = models.CharField(_("in one sentence"), max_length=200)
    steps: models.JSONField[list[str], list[str]] = models.JSONField(
        default=list, help_text=_("What to do, one step a line.")
    )
    goal = models.CharField(_("goal"), max_length=200, help_text=_("What the player can see without a coach."))
    watch_for = models.CharField(_("what the coach looks at"), max_length=200, blank=True)
    cautions: models.JSONField[list[str], list[str]] = models.JSONField(default=list, blank=True)
    set_up: models.JSONField[dict[str, Any], dict[str, Any]] = models.JSONField(
        default=dict, help_text=_("Where tee and feet go and how often; see portal/drills/set_up.py.")
    )
    author = models.ForeignKey(User, null=True, blank=True, on_delete=models.SET_NULL, related_name="drills")
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["title"]

    def __str__(self) -> str:
        return self.title

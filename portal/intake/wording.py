"""The words that families agree to, by version. An agreed version is never edited: new words get a new version."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


@dataclass(frozen=True)
class Wording:
    """What is ticked: `agree` has to be, `training` may stay empty."""

    agree: StrOrPromise
    training: StrOrPromise


WORDINGS = {
    "2026-1": Wording(
        agree=_(
            "I am this player’s parent or guardian, or the player and at least 18 years old. "
            "The coaches of this camp may use the clips to write the evaluation."
        ),
        training=_("They may also use the clips to train other coaches. You can leave this empty."),
    ),
    "2026-2": Wording(
        agree=_(
            "I am this player’s parent or guardian, or the player and at least 18 years old. "
            "The coaches of this camp may use the clips to write the evaluation, and the owner who keeps this site running can see them."
        ),
        training=_("The coaches may also use the clips to train other coaches. You can leave this empty."),
    ),
}
CURRENT = "2026-2"

"""Names that people type go into emails to others: so a name is a name, and neither a message nor a link."""

from __future__ import annotations

import re
import unicodedata

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

LONGEST = 40  # in an email
UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}  # control, direction, private and unassigned signs, line ends
JOINERS = "\u200c\u200d"  # some scripts write names with them
SIGNS = re.compile(r"[/\\@<>:]")
LINK = re.compile(r"https?|www\.|\w\.\w\w", re.IGNORECASE)  # mail programs make links of such words by themselves


def plain_name(name: str) -> None:
    """Validator: refuse what is no name, with words that say what to do."""
    if any(_is_unseen(sign) for sign in name):
        raise ValidationError(_("There is a sign in it that cannot be seen. Please type the name by hand."))
    if SIGNS.search(name):
        raise ValidationError(_("Please write the name alone, without / \\ @ : < or >."))
    if LINK.search(name):
        raise ValidationError(
            _("This looks like a web address. Please write the name alone, with a space after each dot.")
        )


def defused(name: object, longest: int = LONGEST) -> str:
    """The name on one line, of bounded length and never a link: for emails, whatever the database holds."""
    seen = "".join(" " if _is_unseen(sign) else sign for sign in str(name))
    seen = SIGNS.sub(" ", re.sub("https?", " ", seen, flags=re.IGNORECASE))
    seen = " ".join(re.sub(r"\.(?=\w\w)", ". ", seen).split())
    return seen if len(seen) <= longest else f"{seen[: longest - 1].rstrip()}…"


def _is_unseen(sign: str) -> bool:
    return unicodedata.category(sign) in UNSEEN and sign not in JOINERS

"""Names as one looks for them: small letters, no accents. The database keeps them so, because no two databases fold alike."""

from __future__ import annotations

import unicodedata
from typing import Any

from django.db import models

# Letters of their own, which no decomposition takes an accent off.
_PLAIN = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h"})


def fold(words: str) -> str:
    """`fold("Åsa  NÚÑEZ") == "asa  nunez"`; one letter may become two (ß, æ)."""
    apart = unicodedata.normalize("NFKD", words.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter)).translate(_PLAIN)


class FoldedNames(models.CharField):
    """The folded values of other fields of its row, kept up to date by whatever saves the row whole."""

    def __init__(self, *args: Any, of: tuple[str, ...] = (), **kwargs: Any) -> None:
        self.of = of
        super().__init__(*args, **{"max_length": 250, "editable": False, "blank": True, "default": "", **kwargs})

    def pre_save(self, model_instance: models.Model, add: bool) -> str:
        folded = fold(" ".join(str(getattr(model_instance, name)) for name in self.of))[: self.max_length]
        setattr(model_instance, self.attname, folded)
        return folded

    def deconstruct(self) -> Any:
        """A migration sees a plain field: what it is made of is no matter of the table."""
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs

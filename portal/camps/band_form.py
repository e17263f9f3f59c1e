"""The page of a camp's bands as a form: one row of two numbers for each checkpoint that is measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from portal.camps.band_limits import limits_of
from portal.camps.bands import ALL, Band, Bands, kept
from portal.camps.models import Camp
from portal.look.words import band_words, sign_of, with_unit
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, Checkpoint
from portal.people.models import Level

MEASURED = tuple(entry for entry in CHECKPOINTS if not entry.by_eye)


class BandForm(forms.Form):
    """From and to, in the unit of the checkpoint. An end that is left empty is open."""

    low = forms.FloatField(required=False)
    high = forms.FloatField(required=False)

    def __init__(self, data: Mapping[str, Any] | None, entry: Checkpoint, band: Band | None, may_change: bool) -> None:
        self.entry = entry
        self.needs_an_end = band is not None
        low, high = (_short(end) for end in band or (None, None))
        super().__init__(data, prefix=entry.id, initial={"low": low, "high": high}, auto_id="%s")
        names = {"low": _("%(name)s, from"), "high": _("%(name)s, to")}
        for name, field in self.fields.items():
            says = {"aria-label": names[name] % {"name": _(entry.name)}, "aria-describedby": f"{entry.id}-says"}
            field.widget.attrs |= {"step": "any", **says}
            if band is None:
                field.widget.attrs["placeholder"] = _("by level")
            field.disabled = not may_change

    def clean(self) -> dict[str, Any]:
        said = super().clean() or self.cleaned_data
        low, high = said.get("low"), said.get("high")
        if self.errors:
            return said
        if low is None and high is None and self.needs_an_end:
            raise forms.ValidationError(_("Give one end at least. To want what others want, take the band back below."))
        if low is not None and high is not None and low >= high:
            raise forms.ValidationError(_("“From” has to be the smaller number: a band goes up from there."))
        least, most = limits_of(self.entry)
        if any(end is not None and not least <= end <= most for end in (low, high)):
            possible = {"low": with_unit(least), "high": with_unit(most, self.entry.unit)}
            raise forms.ValidationError(
                _("No body does that: this goes from %(low)s to %(high)s. Is a digit too many in it?") % possible
            )
        return said

    @property
    def faults(self) -> list[str]:
        return [str(fault) for faults in self.errors.values() for fault in faults]

    @property
    def band(self) -> Band | None:
        """What was put in; None where both ends are empty."""
        low, high = self.cleaned_data["low"], self.cleaned_data["high"]
        return None if low is None and high is None else (low, high)


@dataclass(frozen=True)
class Row:
    """One checkpoint: the book's band, what holds without this row, the row's own band, and its two fields.

    without   None where the book has another band for each level; the camp's for all levels where `is_from_all`
    error     how far a reading from a phone clip usually lies off, None where nobody knows
    """

    entry: Checkpoint
    book: str
    without: Band | None
    own: Band | None
    form: BandForm
    error: float | None
    is_from_all: bool = False
    others: str = ""

    @property
    def holds(self) -> str:
        """The band in words that holds as things stand."""
        band = self.own or self.without
        return band_words(band, self.entry.unit) if band else self.book

    @property
    def instant(self) -> str:
        return _(INSTANT_NAMES[self.entry.instant])

    @property
    def warning(self) -> str:
        """Words where the camp's own band is narrower than what a phone clip can tell."""
        low, high = self.own or (None, None)
        if low is None or high is None or not self.error or high - low >= 2 * self.error:
            return ""
        unit = self.entry.unit
        return _(
            "This band is %(width)s wide, and a phone clip tells it to ±%(error)s: hardly any reading can be called in range. "
            "From %(least)s on it can."
        ) % {
            "width": with_unit(high - low, unit),
            "error": with_unit(self.error, sign_of(unit)),
            "least": with_unit(2 * self.error, sign_of(unit)),
        }


    @property
    def opened(self) -> str:
        """Words where the camp's own band leaves an end open that the book has: easily left empty where the book's differ by age."""
        if not self.own:
            return ""
        book = self.entry.bands.values()
        if self.own[0] is None and all(low is not None for low, _high in book):
            return _("Nothing is too little here any more; the book has a lower end.")
        if self.own[1] is None and all(high is not None for _low, high in book):
            return _("Nothing is too much here any more; the book has an upper end.")
        return ""


class BandsForm:
    """All rows of one level of a camp. `back` names a row that goes back to what holds without it."""

    def __init__(
        self, camp: Camp, level: str, errors: Mapping[str, float], data: Mapping[str, Any] | None, may_change: bool
    ) -> None:
        self.camp, self.level, self.data = camp, level, data
        self.own = kept(camp.pk, level)
        self.for_all = kept(camp.pk, ALL) if level else {}
        self.back = (data or {}).get("back", "")
        by_level = {one: kept(camp.pk, one) for one in Level.values} if not level else {}
        self.rows = [self._row(entry, errors.get(entry.id), by_level, may_change) for entry in MEASURED]

    def _row(self, entry: Checkpoint, error: float | None, by_level: Mapping[str, Bands], may_change: bool) -> Row:
        without = self.for_all.get(entry.id) or _book_band(entry, self.level)
        own = self.own.get(entry.id)
        data = None if self.back == entry.id else self.data
        form = BandForm(data, entry, own or without, may_change)
        others = [
            f"{Level(level).label}: {band_words(bands[entry.id], entry.unit)}"
            for level, bands in by_level.items()
            if entry.id in bands
        ]
        book, from_all = _book_words(entry, self.level), entry.id in self.for_all
        return Row(entry, book, without, own, form, error, from_all, "; ".join(others))

    def is_valid(self) -> bool:
        """Whether every row can be taken; each is looked at, so that all faults are told at once."""
        valid = [row.form.is_valid() for row in self.rows if row.form.is_bound]
        return all(valid)

    @property
    def wanted(self) -> dict[str, Band | None]:
        """By checkpoint what should be the camp's own from now on; None where it is what holds anyway."""
        return dict(self._wanted())

    def _wanted(self) -> Iterator[tuple[str, Band | None]]:
        for row in self.rows:
            if row.entry.id == self.back:
                yield row.entry.id, None
            elif row.form.is_bound and row.form.has_changed():
                band = row.form.band
                yield row.entry.id, None if band == row.without else band


def _short(end: float | None) -> float | int | None:
    """45 for 45.0, as one would type it."""
    return int(end) if end is not None and end == int(end) else end


def _book_band(entry: Checkpoint, level: str) -> Band | None:
    """The book's band for a level; for all levels None where they differ."""
    if level:
        return entry.bands[level]
    bands = set(entry.bands.values())
    return bands.pop() if len(bands) == 1 else None


def _book_words(entry: Checkpoint, level: str) -> str:
    band = _book_band(entry, level)
    if band is not None:
        return band_words(band, entry.unit)
    return "\n".join(f"{Level(one).label}: {band_words(entry.bands[one], entry.unit)}" for one in Level.values)

"""The evaluation as PDF, made from the same snapshot as the page. Runs in the worker only.

WeasyPrint asks for every font and picture through `Shelf`, which hands out those of this edition and nothing else:
no file, no network (CVE-2025-68616 shows why). Whatever it logs as an error fails the making.
"""

from __future__ import annotations

import logging
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import replace
from functools import cache, cached_property
from io import BytesIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from django.utils import translation
from weasyprint import CSS, HTML
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from portal.evaluations.going_on import shortened
from portal.evaluations.layouts import CLOSE, FEWER, FIRST_PAGES, SHORT, SIZES, Layout
from portal.evaluations.models import Evaluation
from portal.evaluations.present import present
from portal.intake import erase
from portal.owner.naming import APP, site_name

for _talker in ("fontTools", "weasyprint.progress"):  # they tell of every table and of every page
    logging.getLogger(_talker).setLevel(logging.WARNING)

NAME = "evaluation.pdf"
WORDS, PLAN, ANNEX = "words", "week", "annex"  # ids in templates/evaluations/pdf.html
OPTIONS: dict[str, Any] = {"pdf_tags": True, "pdf_variant": "pdf/ua-1"}
STATIC = Path(settings.BASE_DIR) / "static"
FONTS = {
    "hyperlegible": STATIC / "fonts" / "atkinson-hyperlegible-next.woff2",
    "slab": STATIC / "fonts" / "bitter.woff2",
}


class NotOnTheShelf(FatalURLFetchingError):
    """The page asked for something that is neither a font of ours nor a picture of this edition."""


class PdfFault(RuntimeError):
    """WeasyPrint reported errors; the message lists them."""


class Shelf(URLFetcher):
    """Fonts as `shelf:font/<name>` and pictures as `shelf:picture/<file>`; everything else is refused."""

    def __init__(self, pictures: dict[str, bytes]) -> None:
        super().__init__(allow_redirects=False, allowed_protocols=["shelf"])
        self._pictures = pictures

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        kind, _slash, name = url.removeprefix("shelf:").partition("/")
        if url.startswith("shelf:") and kind == "font" and name in FONTS:
            return URLFetcherResponse(url, FONTS[name].read_bytes(), {"Content-Type": "font/woff2"})
        if url.startswith("shelf:") and kind == "picture" and name in self._pictures:
            return URLFetcherResponse(url, self._pictures[name], {"Content-Type": "image/jpeg"})
        raise NotOnTheShelf(f"The PDF may not fetch {url!r}.")

    @cached_property
    def fonts(self) -> FontConfiguration:
        return FontConfiguration()

    @cached_property
    def style(self) -> CSS:
        """Read once for all layouts that are tried: unpacking the fonts takes longer than laying out a page."""
        return CSS(string=_style(), base_url="shelf:", url_fetcher=self, font_config=self.fonts)


def render(snapshot: dict[str, Any], pictures: dict[str, bytes], site: str = APP) -> bytes:
    """The snapshot as a tagged PDF. `pictures` maps each file that the snapshot names to its JPEG bytes; `site` is the
    name at the foot of every page.

    Raises PdfFault when WeasyPrint reports an error, NotOnTheShelf when the page asks for something it may not have.
    """
    troubles = _Troubles()
    logger = logging.getLogger("weasyprint")
    logger.addHandler(troubles)
    out = BytesIO()
    try:
        with translation.override(snapshot["language"]):
            document = _fitting(present(snapshot, lambda file: f"shelf:picture/{file}"), Shelf(pictures), site)
        document.write_pdf(out, **OPTIONS)
    finally:
        logger.removeHandler(troubles)
    if troubles.lines:
        raise PdfFault("; ".join(troubles.lines))
    return out.getvalue()


def _fitting(content: dict[str, Any], shelf: Shelf, site: str) -> Document:
    """The words on one page and the plan on the next, each as large as it fits, or after the words where they are short; numbers,
    and what else finds no room there, in the annex. What a coach wrote is never left out: a passage too long for it goes on there,
    and says so.
    """
    return _laid_out(content, _layout_for(content, shelf, site), shelf, site)


def _layout_for(content: dict[str, Any], shelf: Shelf, site: str) -> Layout:
    """Tried out on the first pages alone, which takes half as long."""
    tried = cache(lambda layout: _laid_out(content, layout, shelf, site, trial=True))

    def fits(layout: Layout) -> bool:
        return _pages_before(tried(layout), ANNEX) <= FIRST_PAGES

    word_pages = 1 if content["plan"] else FIRST_PAGES
    words = _largest(lambda size: _pages_before(tried(Layout(size)), PLAN, ANNEX), word_pages)
    if words is None:
        return CLOSE[bisect_left(CLOSE[:-1], True, key=fits)]
    short = _ends_at(tried(Layout(words)), WORDS) < SHORT
    if not content["plan"]:
        return Layout(words, annex_follows=short)
    ways = (
        *(Layout(words, size, follows=short) for size in SIZES),
        CLOSE[0],
        *(Layout(words, "tight", drills) for drills in FEWER),
    )
    chosen = next((layout for layout in ways if fits(layout)), ways[-1])
    return replace(chosen, follows=chosen.follows or short)


def _largest(pages_at: Callable[[str], int], most: int) -> str | None:
    """The largest type in which the words take at most so many pages. The smallest takes more than half the room of the largest, so
    where that needs more than four times as many pages, no other is tried.
    """
    for size in SIZES:
        pages = pages_at(size)
        if pages <= most:
            return size
        if pages > 4 * most:
            break
    return None


def _laid_out(content: dict[str, Any], layout: Layout, shelf: Shelf, site: str, *, trial: bool = False) -> Document:
    plan = content["plan"]
    shown = len(plan) if layout.drills is None else layout.drills
    said = {**shortened(content, layout.most), "plan": plan[:shown], "more_plan": plan[shown:]}
    about = {"content": said, "layout": layout, "trial": trial, "site": site}
    page = HTML(string=render_to_string("evaluations/pdf.html", about), base_url="shelf:", url_fetcher=shelf)
    return page.render(shelf.fonts, stylesheets=[shelf.style], **OPTIONS)


def _pages_before(document: Document, *anchors: str) -> int:
    """How many pages come before the first of these anchors; all where there is none."""
    there = (n for n, page in enumerate(document.pages) if not page.anchors.keys().isdisjoint(anchors))
    return next(there, len(document.pages))


def _ends_at(document: Document, anchor: str) -> float:
    """How far down its first page this anchor's block ends: 0 at the upper edge of the paper, 1 at the lower one."""
    page = next(page for page in document.pages if anchor in page.anchors)
    _left, _top, _right, bottom = page.anchors[anchor]
    return float(bottom / page.height)


def keep_pdf(evaluation: Evaluation) -> bool:
    """Make the PDF of an edition and note its name; False when somebody else was quicker."""
    names = [picture["file"] for picture in evaluation.snapshot.get("pictures", [])]
    pictures = {name: _bytes(f"{evaluation.folder}/{name}") for name in names}
    made = render(evaluation.snapshot, pictures, site_name())
    stored = default_storage.save(f"{evaluation.folder}/{NAME}", ContentFile(made))
    if evaluation.keep_pdf(stored):
        return True
    default_storage.delete(stored)
    if not Evaluation.objects.filter(pk=evaluation.pk).exists():  # withdrawn while it was made
        erase.delete_folder(evaluation.folder)
    return False


def _bytes(name: str) -> bytes:
    with default_storage.open(name, "rb") as file:
        return file.read()


def _style() -> str:
    paper = {"a4": "A4", "letter": "letter"}[settings.PAPER]
    return (STATIC / "css" / "pdf.css").read_text().replace("size: A4", f"size: {paper}")


class _Troubles(logging.Handler):
    """Gathers what WeasyPrint logs as an error."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())

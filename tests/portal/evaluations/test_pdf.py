"""The PDF, read by others: pypdf for its text and tags, poppler's pdftoppm for how it looks."""

from __future__ import annotations

import copy
import io
import re
import shutil
import subprocess

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from portal.desk.forms import MAX_GOOD
from portal.evaluations import foretold, pdf, tasks
from portal.evaluations.going_on import shortened
from portal.evaluations.pdf import NotOnTheShelf, PdfFault, Shelf, keep_pdf, render

pytestmark = pytest.mark.slow


def bytes_of(evaluation):
    names = [p["file"] for p in evaluation.snapshot["pictures"]]
    return {name: default_storage.open(f"{evaluation.folder}/{name}").read() for name in names}


_made: list[bytes] = []


@pytest.fixture
def made(published):
    """The PDF of the full draft, made once for all tests that only read it."""
    if not _made:
        _made.append(render(published.snapshot, bytes_of(published)))
    return _made[0]


def words(text):
    return " ".join(text.split())


def test_the_pdf_says_everything_and_says_it_accessibly(made):
    reader = PdfReader(io.BytesIO(made))
    text = words(" ".join(page.extract_text() for page in reader.pages))
    for told in (
        "Hi Ida, here is your swing.", "You stay tall to the end.", "Keep the front foot closed a little longer",
        "Land on the chalk", "4 rounds of 6", "Five on the line.", "Look all around before every swing",
        "Front foot angle", "62°", "wanted: at most 45°", "catcher’s side would show it",
    ):  # fmt: skip
        assert told in text, told
    assert reader.metadata.title == "Ida’s swing"
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"].value is True
    alts = alternatives(root["/StructTreeRoot"])
    assert any("The swing at foot down, with the coach’s marks. Your foot." in alt for alt in alts)
    assert any(alt.startswith("From above, the pitcher at the top.") for alt in alts)
    assert any(alt.startswith("62°, give or take 10°, wanted: at most 45°") for alt in alts)


def alternatives(node):
    """Every alternative text of the structure tree."""
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        return [alt for kid in node for alt in alternatives(kid)]
    if not isinstance(node, dict):
        return []
    own = [str(node["/Alt"])] if "/Alt" in node else []
    return own + (alternatives(node["/K"]) if "/K" in node else [])


def test_the_pdf_shows_the_very_pictures_of_the_page(made, published):
    """Pixel by pixel: nothing is drawn anew for print."""
    pages = PdfReader(io.BytesIO(made)).pages
    printed = {bytes(image.indirect_reference.get_object()._data) for page in pages for image in page.images}
    assert printed == set(bytes_of(published).values())  # the JPEGs byte by byte, so pixel by pixel


def images_of_the_annex(data):
    """Left and top edge of each picture on the third page, and where text begins beside or below, in points."""
    images, texts = [], []

    def before(operator, operands, matrix, _text):
        if operator == b"Do":
            images.append((round(matrix[4]), round(matrix[5])))

    def text(words, matrix, text_matrix, *_font):
        if words.strip():
            texts.append((words.strip(), round(text_matrix[4] * matrix[0] + matrix[4])))

    PdfReader(io.BytesIO(data)).pages[2].extract_text(visitor_operand_before=before, visitor_text=text)
    return images, texts


def test_more_pictures_fill_the_width_of_the_page(published):
    """Two stand side by side; one alone is larger, with its words beside it."""
    said, pictures = copy.deepcopy(published.snapshot), bytes_of(published)
    more = next(p for p in said["pictures"] if not p["for_thing"])
    [alone], texts = images_of_the_annex(render(said, pictures))
    assert next(x for words, x in texts if words.startswith("Set.")) > alone[0] + 250
    said["pictures"].append(more)
    first, second = images_of_the_annex(render(said, pictures))[0]
    assert first[1] == second[1]
    assert second[0] > first[0] + 200


def test_our_fonts_are_embedded_and_no_others(made):
    reader = PdfReader(io.BytesIO(made))
    fonts = {
        str(font.get_object()["/BaseFont"]).split("+")[1].split("-")[0]
        for page in reader.pages
        for font in page["/Resources"]["/Font"].values()
    }
    assert fonts == {"Hyperlegible", "Slab"}


def test_it_asks_for_nothing_that_runs_or_leads_elsewhere(made):
    for forbidden in (b"/JavaScript", b"/Launch", b"http://", b"https://", b"file://"):
        assert forbidden not in made.replace(b"http://www.w3.org", b"").replace(b"http://ns.adobe.com", b"").replace(
            b"http://www.aiim.org", b""
        ).replace(b"http://purl.org", b"")


def test_a_band_of_the_camps_own_is_said_at_its_point_and_nowhere_else(published):
    held = copy.deepcopy(published.snapshot)
    point = next(point for point in held["points"] if point["checkpoint"] == "down_front_knee")
    said = "This camp’s own range."
    assert said not in words(text_of(render(held, bytes_of(published))))
    point["own_band"] = True
    assert words(text_of(render(held, bytes_of(published)))).count(said) == 1


def text_of(made: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages)


def test_pages_look_like_the_letter(made, tmp_path):
    """By poppler: the clay of the one thing on the first page, the wash of a drill on the next, ink on every page."""
    poppler = shutil.which("pdftoppm")
    if not poppler:
        pytest.skip("pdftoppm (poppler-utils) is not installed, so the pages cannot be looked at")
    (tmp_path / "e.pdf").write_bytes(made)
    subprocess.run([poppler, "-r", "60", "-png", "e.pdf", "page"], cwd=tmp_path, check=True, timeout=60)
    pages = [Image.open(path).convert("RGB") for path in sorted(tmp_path.glob("page-*.png"))]
    assert len(pages) == len(PdfReader(io.BytesIO(made)).pages)
    assert count(pages[0], (246, 225, 212)) > 4000
    assert count(pages[1], (220, 235, 226)) > 1500
    assert all(sum(1 for p in page.convert("L").tobytes() if p < 120) > 50 for page in pages)


def count(page, colour):
    return sum(
        n for n, seen in page.getcolors(1 << 24) if all(abs(a - b) <= 3 for a, b in zip(seen, colour, strict=True))
    )


def test_the_style_holds_nothing_that_weasyprint_ignores(published, caplog):
    render(published.snapshot, bytes_of(published))
    assert [r.getMessage() for r in caplog.records if r.name.startswith("weasyprint") and r.levelno > 20] == []


def test_the_sites_name_stands_at_the_foot(published):
    made = render(published.snapshot, bytes_of(published), 'Bat "& ball" camp')
    assert all('Bat "& ball" camp' in page.extract_text() for page in PdfReader(io.BytesIO(made)).pages)


def test_the_paper_can_be_letter(published, settings):
    settings.PAPER = "letter"
    page = PdfReader(io.BytesIO(render(published.snapshot, bytes_of(published)))).pages[0]
    assert [float(x) for x in page.mediabox[2:]] == [612, 792]


@pytest.mark.parametrize(
    "url",
    ["file:///etc/passwd", "http://localhost/", "https://example.org/x.png", "data:text/plain,x", "shelf:font/other",
     "shelf:picture/../secret", "shelf:picture/none.jpg", "ftp://example.org/"],
)  # fmt: skip
def test_the_shelf_hands_out_nothing_else(url):
    with pytest.raises(NotOnTheShelf, match="may not fetch"):
        Shelf({"picture-1.jpg": b""}).fetch(url)


def test_a_picture_that_is_not_on_the_shelf_fails_the_making(published):
    with pytest.raises(NotOnTheShelf, match=r"picture-1\.jpg"):
        render(published.snapshot, {})


def test_a_broken_picture_fails_the_making(published):
    with pytest.raises(PdfFault, match=r"picture-1\.jpg"):
        render(published.snapshot, dict.fromkeys(bytes_of(published), b"no picture"))


def test_text_of_the_write_up_cannot_become_markup(published):
    snapshot = {**published.snapshot, "greeting": '<img src="file:///etc/passwd"> <b>hi</b>'}
    text = PdfReader(io.BytesIO(render(snapshot, bytes_of(published)))).pages[0].extract_text()
    assert "<b>hi</b>" in text


def test_the_pdf_is_kept_once(published, monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda snapshot, pictures, site: b"%PDF-")
    assert keep_pdf(published) is True
    assert keep_pdf(published) is False
    published.refresh_from_db()
    assert default_storage.listdir(published.folder)[1].count("evaluation.pdf") == 1
    assert [n for n in default_storage.listdir(published.folder)[1] if n.endswith(".pdf")] == ["evaluation.pdf"]


def test_the_task_can_run_twice_and_for_nobody(published, monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda snapshot, pictures, site: b"%PDF-")
    assert tasks.make_pdf(str(published.pk)) == "made"
    assert tasks.make_pdf(str(published.pk)) == "made before"
    assert tasks.make_pdf("00000000-0000-0000-0000-000000000000") == "gone"


def test_a_lost_pdf_is_asked_for_again(published, asked):
    asked.clear()
    assert tasks.find_missing_pdfs() == 0  # only just published: the worker has it
    type(published).objects.update(published_at=published.published_at - 2 * tasks.LATE_AFTER)
    assert tasks.find_missing_pdfs() == 1
    assert asked == [str(published.pk)]


@pytest.fixture
def always_fails(published, monkeypatch, asked):
    """An edition that was due a while ago, and whose PDF cannot be made."""

    def render(snapshot, pictures, site):
        raise PdfFault("a picture is missing")

    monkeypatch.setattr(pdf, "render", render)
    long_ago(published)
    asked.clear()
    return published


def long_ago(evaluation):
    before = evaluation.published_at - 2 * tasks.LATE_AFTER
    type(evaluation).objects.update(published_at=before, pdf_tried_at=before)


def give_up(evaluation):
    for _time in range(tasks.MAX_ATTEMPTS):
        assert tasks.find_missing_pdfs() == 1
        with pytest.raises(PdfFault):
            tasks.make_pdf(str(evaluation.pk))
        assert tasks.find_missing_pdfs() == 0  # tried a moment ago
        long_ago(evaluation)


def test_a_pdf_that_always_fails_is_given_up_after_three_attempts(always_fails):
    give_up(always_fails)
    assert tasks.find_missing_pdfs() == 0
    assert tasks.make_pdf(str(always_fails.pk)) == "given up"
    always_fails.refresh_from_db()
    assert (always_fails.pdf_attempt, always_fails.pdf) == (3, "")
    assert list(tasks.given_up()) == [always_fails]


def test_an_attempt_that_takes_its_worker_down_counts_too(always_fails, monkeypatch):
    def killed(snapshot, pictures, site):
        raise SystemExit

    monkeypatch.setattr(pdf, "render", killed)
    for _time in range(tasks.MAX_ATTEMPTS):
        with pytest.raises(SystemExit):
            tasks.make_pdf(str(always_fails.pk))
    assert list(tasks.given_up()) == []  # the last one began just now
    long_ago(always_fails)
    assert list(tasks.given_up()) == [always_fails]


def test_the_owner_sees_why_and_has_it_made_again(
    always_fails, owner, sign_in, asked, monkeypatch, django_capture_on_commit_callbacks
):
    client = sign_in(owner)
    assert "could not be made" not in client.get(reverse("health_page")).content.decode()
    give_up(always_fails)
    page = client.get(reverse("health_page")).content.decode()
    assert "PDFs that could not be made" in page
    assert "PdfFault: a picture is missing" in page
    assert "3 attempts" in page
    asked.clear()
    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post(reverse("evaluation_pdf_again", args=[always_fails.pk]), follow=True)
    assert "being made again" in answer.content.decode()
    assert asked == [str(always_fails.pk)]
    monkeypatch.setattr(pdf, "render", lambda snapshot, pictures, site: b"%PDF-")
    assert tasks.make_pdf(str(always_fails.pk)) == "made"
    assert list(tasks.given_up()) == []
    answer = client.post(reverse("evaluation_pdf_again", args=[always_fails.pk]), follow=True)
    assert "nothing was changed" in answer.content.decode()


def with_much(snapshot, drills, words):
    """The snapshot with so many drills and so many words of the coach."""
    much = copy.deepcopy(snapshot)
    (drill,) = much["plan"]
    steps = ["Do it slowly, with the whole foot on the line, and look where it landed before you go on."] * 5
    much["plan"] = [{**drill, "title": f"Drill {n}", "steps": steps} for n in range(1, drills + 1)]
    much["thing"]["words"] = "Keep the foot closed, and the hips wait for the hands. " * words
    return much


ANNEX = (
    "What goes on from the first pages", "More drills of this week", "The drills of this week", "More pictures",
    "What your coach looked at",
)  # fmt: skip


def pages_of(made: bytes) -> list[str]:
    return [words(page.extract_text()) for page in PdfReader(io.BytesIO(made)).pages]


def first_pages(pages: list[str]) -> int:
    return next(n for n, text in enumerate(pages) if any(heading in text for heading in ANNEX))


@pytest.mark.parametrize(("drills", "words"), [(1, 2), (3, 8), (5, 8), (3, 40)])
def test_write_up_and_plan_are_two_pages_however_much_there_is(published, drills, words):
    much = with_much(published.snapshot, drills, words)
    pages = pages_of(render(much, bytes_of(published)))
    assert first_pages(pages) <= 2
    assert "This week" in " ".join(pages[:2])
    assert "What goes on" not in " ".join(pages)
    for n in range(1, drills + 1):
        assert f"Drill {n} " in " ".join(pages)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("drills", "next_to_come"), [(1, "This week"), (0, "More pictures")])
def test_short_words_leave_no_page_mostly_empty(published, settings, paper, drills, next_to_come):
    """Two sentences without a picture: what comes next follows them at once, and the page is filled to below its middle."""
    settings.PAPER = paper
    short = with_much(published.snapshot, 1, 1)
    short.update(greeting="", closing="", plan=short["plan"][:drills])
    short["pictures"] = [picture for picture in short["pictures"] if not picture["for_thing"]]
    made = render(short, bytes_of(published))
    page = PdfReader(io.BytesIO(made)).pages[0]
    assert next_to_come in page.extract_text()
    assert "Drill 1" in page.extract_text() or not drills
    assert lowest_words(page) < float(page.mediabox.height) / 2
    assert first_pages(pages_of(made)) == drills


def lowest_words(page) -> float:
    """How far above the lower edge of the paper the last words stand, but for those of the foot (points)."""
    heights = []
    page.extract_text(visitor_text=lambda words, matrix, text_matrix, *_font: heights.append(
        text_matrix[5] * matrix[3] + matrix[5]) if words.strip() else None)  # fmt: skip
    return min(height for height in heights if height > 60)


@pytest.mark.parametrize(
    ("pages", "size", "tried"), [((1,), "", 1), ((3, 2, 1), "tight", 3), ((4, 3, 2), None, 3), ((5, 1, 1), None, 1)]
)
def test_no_smaller_type_is_tried_where_none_can_fit(pages, size, tried):
    asked = []
    assert pdf._largest(lambda size: asked.append(size) or pages[len(asked) - 1], 1) == size
    assert len(asked) == tried


def test_words_that_fill_their_page_have_the_plan_on_the_next(published):
    first, second, *_annex = pages_of(render(with_much(published.snapshot, 1, 25), bytes_of(published)))
    assert "This week" not in first
    assert "This week" in second


@pytest.mark.parametrize(("drills", "words"), [(1, 2), (5, 8), (1, 60)])
def test_what_goes_on_is_foretold_from_the_words(published, drills, words):
    much = with_much(published.snapshot, drills, words)
    content = pdf.present(much, lambda file: f"shelf:picture/{file}")
    layout = pdf._layout_for(content, Shelf(bytes_of(published)), "")
    shown = drills if layout.drills is None else layout.drills
    passages = tuple(shortened(content, layout.most)["going_on"])
    assert foretold.goes_on(much) == foretold.GoesOn(passages, drills - shown, drills)


def numbered(sentence: str, letters: int) -> str:
    """Sentences that tell their own number, as many as a field of so many letters takes."""
    said = [f"{sentence} {n}." for n in range(letters // (len(sentence) + 6))]
    return " ".join(said)


def fullest(snapshot):
    """Every field of the write-up as full as the desk takes it (portal/desk/forms.py), and nine drills."""
    much = with_much(snapshot, 9, 1)
    much["greeting"] = numbered("I have looked at it often", 2000)
    much["good"] = [numbered(f"Good thing {n} is good because of", 400) for n in range(1, MAX_GOOD + 1)]
    much["thing"]["title"] = (
        "Keep the front foot closed a little longer, and then a little longer than that, until the hands have gone by"
    )
    much["thing"]["words"] = numbered("The hips wait for the hands", 3000)
    much["closing"] = numbered("See you in the spring", 2000)
    for drill in much["plan"]:
        drill.update(words=numbered("Ask for help", 300), goal=numbered("Five on the line", 200))
    return much


def test_the_fullest_write_up_goes_on_in_the_annex_and_says_where(published):
    much = fullest(published.snapshot)
    pages = pages_of(render(much, bytes_of(published)))
    assert first_pages(pages) == 2
    first, whole = " ".join(pages[:2]), " ".join(pages)
    for passage in [much["greeting"], *much["good"], much["thing"]["words"], much["closing"]]:
        for sentence in passage.split(". "):
            assert sentence in whole  # nothing that a coach wrote is left out
    for begins in (
        "I have looked at it often 0.",
        "Good thing 1 ",
        "The hips wait for the hands 0.",
        "See you in the spring 0.",
    ):
        assert begins in first
    assert [pages[int(n) - 1] for n in re.findall(r"The rest is on page (\d)\.", first)] == [
        pages[2],
        pages[2],
        pages[3],
        pages[3],
    ]
    assert "8 more drills are on page" in first
    assert "From the greeting" in pages[2]
    assert "More on the one thing: Keep the front foot closed" in pages[3]


def test_a_trial_of_the_first_pages_lays_out_no_others(published):
    content = pdf.present(fullest(published.snapshot), lambda file: f"shelf:picture/{file}")
    trial = pdf._laid_out(content, pdf.CLOSE[-1], Shelf(bytes_of(published)), "", trial=True)
    assert len(trial.pages) == pdf._pages_before(trial, pdf.ANNEX) + 1


@pytest.mark.parametrize("text", ["\n".join("abcdefghij" * 20), "w" * 1999], ids=["lines", "one word"])
def test_odd_words_go_on_too(published, text):
    much = {**fullest(published.snapshot), "greeting": text, "closing": text}
    made = pages_of(render(much, bytes_of(published)))
    assert first_pages(made) == 2
    assert sum(page.count("w") + page.count("a") for page in made) >= 2 * (text.count("w") + text.count("a"))


def test_a_drill_longer_than_a_page_goes_whole_into_the_annex(published):
    much = with_much(published.snapshot, 1, 2)
    much["plan"][0]["steps"] = [
        f"Step {n}: slowly, with the whole foot on the line, and look where it landed." for n in range(1, 120)
    ]
    pages = pages_of(render(much, bytes_of(published)))
    assert first_pages(pages) <= 2
    assert "Your drill is on page" in " ".join(pages[:2])
    assert "Step 119:" in " ".join(pages)

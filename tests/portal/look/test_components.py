"""Components as they come out of the templates: words beside colour, faults tied to fields, nothing inline."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.template import Context, Template

from portal.look.samples import SampleForm

ROOT = Path(__file__).resolve().parents[3]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))


def draw(source: str, **context: object) -> str:
    return Template("{% load look %}" + source).render(Context(context))


def test_the_strip_draws_band_bar_and_needle_in_percent():
    html = draw("{% strip scale band 45 interval '°' %}", scale=(0, 90), band=(25, 60), interval=(36, 54))
    assert 'class="strip-band" x="27.78%"' in html
    assert 'class="strip-bar" x="40%" y="9" width="20%"' in html
    assert 'class="strip-needle" x1="50%"' in html
    assert 'aria-label="45°, give or take 9°, wanted: 25 to 60°"' in html


def test_a_value_off_the_scale_has_an_arrow_and_no_needle():
    html = draw("{% strip scale band 120 None %}", scale=(0, 90), band=(25, 60))
    assert "strip-arrow" in html
    assert "strip-needle" not in html


def test_an_unread_strip_draws_neither_needle_nor_bar():
    html = draw("{% strip scale band None None %}", scale=(0, 90), band=(25, 60))
    assert 'class="strip unread"' in html
    assert "strip-needle" not in html
    assert "strip-bar" not in html


@pytest.mark.parametrize(
    ("call", "shape", "said"),
    [
        ("in range", "in-range", "in range"),
        ("out of range", "out-of-range", "out of range"),
        ("inside", "in-range", "in range"),  # in an edition published before the calls had their names
        ("too close to call", "close", "too close to call"),
        ("coach's eye", "eye", "the coach’s eye decides"),
    ],
)
def test_a_call_is_said_in_words_beside_its_shape(call, shape, said):
    html = draw("{% call word %}", word=call)
    assert f'class="call {shape}"' in html
    assert f"<span>{said}</span>" in html


def test_an_unreadable_call_gives_its_reason():
    assert "not readable: the feet are cut off" in draw("{% call 'not readable' 'the feet are cut off' %}")


def test_what_only_the_eye_rates_says_so_once():
    html = draw("{% call word reason %}", word="coach's eye", reason="Only a coach's eye can rate this.")
    assert "the coach’s eye decides" in html
    assert "Only a coach" not in html


def test_a_rate_has_three_words_and_one_chosen():
    html = draw("{% rate 'r' 'watch' 'Front knee bend' %}")
    assert re.findall(r'value="(\w+)"', html) == ["good", "watch", "work_on"]
    assert html.count("checked") == 1
    assert "Front knee bend: your rating" in " ".join(html.split())


def test_progress_without_a_total_claims_no_number():
    html = draw("{% progress 0 0 'Waiting' %}")
    assert "value=" not in html
    assert "%" not in html


def test_progress_never_passes_a_hundred():
    assert "<b>100%</b>" in draw("{% progress 12 10 'sent' %}")


def test_a_fault_is_tied_to_its_field():
    html = str(SampleForm({"birth_year": "1815"}))
    field = re.search(r'<input[^>]*name="birth_year"[^>]*>', html).group()
    assert 'aria-invalid="true"' in field
    assert 'aria-describedby="id_birth_year_error"' in field
    assert '<ul class="errorlist" id="id_birth_year_error">' in html


def test_help_is_tied_to_its_field():
    html = str(SampleForm())
    assert 'aria-describedby="id_first_name_helptext"' in html
    assert 'id="id_first_name_helptext"' in html


def test_consent_is_never_ticked_beforehand():
    box = re.search(r'<input[^>]*name="consent"[^>]*>', str(SampleForm())).group()
    assert "checked" not in box


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_template_needs_inline_style_script_or_another_host(path):
    """What the policy `default-src 'self'` would block. The PDF's own page is read by no browser."""
    source = path.read_text()
    assert not re.search(r"\sstyle=", source), "style attribute"
    assert not re.search(r"\son\w+=", source), "inline handler"
    assert not re.search(r"<script(?![^>]*\b(src|type=\"application/json\"))", source), "inline script"
    assert "<style" not in source or path.name == "pdf.html", "style element"
    assert not re.search(r"(?:src|href)=[\"'](?:https?:)?//", source), "another host"


def test_forms_go_through_our_own_templates():
    html = str(SampleForm())
    assert html.count('class="field') == 6
    assert 'class="tick' in html
    assert "(optional)" in html

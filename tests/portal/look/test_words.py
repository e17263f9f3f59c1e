"""Numbers, bands and calls as a reader sees them."""

import re

import pytest

from portal.look import words
from portal.measuring.door import CHECKPOINTS


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (44.4, "44"),
        (-11.6, "−12"),
        (9.2, "9.2"),
        (9.96, "10"),
        (1.04, "1"),
        (1.26, "1.3"),
        (0.6, "0.6"),
        (0.534, "0.53"),
        (-0.001, "0"),
        (120, "120"),
    ],
)
def test_numbers_keep_two_figures_and_a_true_minus(value, shown):
    assert words.number(value) == shown


def test_a_sign_is_shown_where_it_is_wanted():
    assert words.with_unit(9, "%", signed=True) == "+9%"


@pytest.mark.parametrize(
    ("value", "interval", "shown"),
    [
        (-0.26, (-3, 3), "0°"),
        (9.6, (-1, 21), "10°"),
        (9.6, (9.3, 9.9), "9.6°"),
        (1.632, (1.5, 1.76), "1.6°"),
        (0.416, (0.40, 0.43), "0.42°"),
        (44.4, None, "44°"),
        (None, None, "–"),
    ],
)
def test_a_reading_is_no_finer_than_its_interval(value, interval, shown):
    assert words.measured(value, interval, "°") == shown


def test_degrees_touch_their_number():
    assert words.with_unit(44, "°") == "44°"


def test_no_value_is_a_dash_never_a_zero():
    assert words.with_unit(None, "°") == "–"


@pytest.mark.parametrize(
    ("band", "said"),
    [
        ((25, 60), "wanted: 25 to 60°"),
        ((None, 45), "wanted: at most 45°"),
        ((-12.5, 12.25), "wanted: −12.5 to 12.25°"),
        ((45, None), "wanted: at least 45°"),
        ((None, None), ""),
        (None, ""),
    ],
)
def test_the_band_is_said_in_words(band, said):
    assert words.wanted_words(band, "°") == said


@pytest.mark.parametrize("entry", [one for one in CHECKPOINTS if not one.by_eye], ids=lambda one: one.id)
def test_no_number_that_misses_its_band_is_rounded_onto_the_edge(entry):
    """Every edge of the book and ends that a camp may type, missed by little and by a sure reading."""
    ends = {end for band in entry.bands.values() for end in band if end is not None} | {12.5, 30.0}
    for end in ends:
        for off in (0.03, 0.2, 0.4, 0.7, 3.0):
            for band, value in (((end, None), end - off), ((None, end), end + off)):
                interval = (value - 0.9 * off, value + 0.9 * off)
                shown, wanted = (
                    float(re.search(r"[−\d.]+", text)[0].replace("−", "-"))
                    for text in (
                        words.measured(value, interval, "", band),
                        words.wanted_words(band).removeprefix("wanted: at "),
                    )
                )
                assert wanted == end
                assert shown < end if value < end else shown > end, (value, interval, band)


def test_a_value_too_close_to_call_gets_no_finer_for_it():
    assert words.measured(44.8, (40, 49), "°", (None, 44)) == "45°"
    assert words.measured(45.2, (41, 49), "°", (None, 45)) == "45°"


def test_an_uncertainty_is_no_finer_than_itself():
    assert words.give_or_take(16, (15.12, 16.88), "% of height") == "give or take 0.9%"
    assert words.give_or_take(9, (6.75, 11.25), "°") == "give or take 2°"


def test_the_strip_is_said_to_a_screen_reader():
    assert words.strip_label(44, (39, 49), (25, 60), "°") == "44°, give or take 5°, wanted: 25 to 60°"


def test_an_unread_strip_says_so():
    assert words.strip_label(None, None, (25, 60), "°") == "not read, wanted: 25 to 60°"


def test_what_a_share_is_of_is_said_once_beside_its_value():
    arm = "% of arm length"
    assert words.measured(88.2, (80, 96), arm) == "88% of arm length"
    assert words.strip_label(88.2, (80, 96), (80, None), arm, [84, 92]) == (
        "88% of arm length, give or take 8%, wanted: at least 80%, single swings: 84%, 92%"
    )
    assert words.wanted_words((1.3, 2.2), "× shoulder width") == "wanted: 1.3 to 2.2\u202f×"
    assert words.band_words((80, None), arm) == "at least 80% of arm length"  # in a table of bands there is no value


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        ((11.2, (3.2, 19.2), "% of foot spacing"), "11 ± 8% of foot spacing"),
        ((43.6, (38, 50), "°"), "44 ± 6°"),
        ((1.63, (1.4, 1.8), "× shoulder width"), "1.6 ± 0.2\u202f× shoulder width"),
        ((49, (30, 70), "ms"), "49 ± 21\u202fms"),
        ((None, None, "°"), "–"),
    ],
)
def test_a_reading_in_a_table_has_its_unit_behind_the_uncertainty(reading, said):
    assert words.plus_minus(*reading) == said

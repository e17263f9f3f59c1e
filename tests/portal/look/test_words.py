"""Numbers, bands and calls as a reader sees them."""

import pytest

from portal.look import words


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
    assert words.with_unit(9, "%", signed=True) == "+9\u202f%"


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
        ((45, None), "wanted: at least 45°"),
        ((None, None), ""),
        (None, ""),
    ],
)
def test_the_band_is_said_in_words(band, said):
    assert words.wanted_words(band, "°") == said


def test_the_strip_is_said_to_a_screen_reader():
    assert words.strip_label(44, (39, 49), (25, 60), "°") == "44°, give or take 5°, wanted: 25 to 60°"


def test_an_unread_strip_says_so():
    assert words.strip_label(None, None, (25, 60), "°") == "not read, wanted: 25 to 60°"

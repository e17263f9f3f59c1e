"""What may be drawn on a frame, and what is said of the rest."""

import pytest
from django.core.exceptions import ValidationError

from portal.desk.shapes import MAX_SHAPES, clean_shapes


def shape(**fields):
    return {"kind": "line", "points": [[1, 2], [3, 4]], "tone": "wanted", **fields}


def test_a_shape_keeps_what_belongs_to_it_alone():
    cleaned = clean_shapes([shape(points=[[1.23456, 2], [3, 4]], colour="red")])
    assert cleaned == [{"kind": "line", "points": [[1.2, 2.0], [3.0, 4.0]], "tone": "wanted"}]


def test_an_angle_on_the_ground_keeps_its_degrees():
    cleaned = clean_shapes([shape(kind="ground_line", points=[[1, 2], [3, 4], [5, 6]], degrees=33.69)])
    assert cleaned[0]["degrees"] == 33.7


def test_words_are_kept_without_their_edges():
    assert clean_shapes([shape(kind="words", points=[[5, 5]], text="  closed ")])[0]["text"] == "closed"


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"kind": "circle"}, "no known kind"),
        ({"tone": "pink"}, "no known color"),
        ({"points": [[1, 2]]}, "points that cannot be drawn"),
        ({"points": [[1, 2], [float("nan"), 4]]}, "points that cannot be drawn"),
        ({"points": [[1, 2], [1e9, 4]]}, "points that cannot be drawn"),
        ({"points": [[1, 2], [True, 4]]}, "points that cannot be drawn"),
        ({"kind": "angle"}, "points that cannot be drawn"),
        ({"kind": "words", "points": [[1, 2]], "text": " "}, "no words"),
        ({"kind": "ground_line", "points": [[1, 2], [3, 4], [5, 6]]}, "does not tell its angle"),
        ({"kind": "ground_edge", "points": [[1, 2], [3, 4], [5, 6]], "degrees": 91}, "does not tell its angle"),
    ],
)
def test_a_wrong_shape_is_named_with_its_number(wrong, words):
    with pytest.raises(ValidationError, match=f"Shape 2 .*{words}"):
        clean_shapes([shape(), shape(**wrong)])


@pytest.mark.parametrize("given", [{}, "line", 3])
def test_a_drawing_is_a_list(given):
    with pytest.raises(ValidationError, match="list of shapes"):
        clean_shapes(given)


def test_there_is_a_most_of_shapes():
    with pytest.raises(ValidationError, match=f"At most {MAX_SHAPES}"):
        clean_shapes([shape()] * (MAX_SHAPES + 1))

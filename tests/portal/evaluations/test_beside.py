"""Who else is in the picture: of two rendered hitters side by side, the one who is followed stays sharp, the other is nobody."""

import io
import json
from dataclasses import dataclass
from itertools import pairwise

import av
import numpy as np
import pytest
from PIL import Image, ImageFilter

from analysis.tracks import load
from portal.desk.models import MarkUp
from portal.evaluations import beside, publish
from portal.evaluations.pictures import SHARP, draw

FILMS = [
    pytest.param(("maple_right_chest", "cedar_right_back", "contact"), marks=pytest.mark.slow),
    ("aspen_left_back_child", "maple_right_chest", "foot_down"),
    pytest.param(("birch_right_catcher", "willow_left_chest", "contact"), marks=pytest.mark.slow),
    pytest.param(("willow_left_chest", "aspen_left_back_child", "set_up"), marks=pytest.mark.slow),
]
NAMES = ["maple_right_chest", "aspen_left_back_child", "birch_right_catcher", "willow_left_chest"]


@dataclass
class Pair:
    """A frame with two people: where the hitter was seen, and where the other one stands."""

    picture: Image.Image
    seen: dict
    other: tuple[int, int, int, int]


def frame(root, name, number):
    with av.open(str(root / "tests" / "films" / "out" / f"{name}.mp4")) as film:
        return next(each.to_image() for at, each in enumerate(film.decode(video=0)) if at == number)


def seen_in(root, name, number):
    tracks = load(root / "tests" / "analysis" / "read" / "data" / f"{name}.tracks.npz")
    points = np.concatenate([tracks.keypoints_px[number], tracks.visibility[number][:, None]], axis=1)
    bat = tracks.bat_px[number]
    return {
        "points": [row.tolist() if np.isfinite(row).all() else None for row in points],
        "bat": bat.tolist() if np.isfinite(bat).all() else None,
        "box": tracks.box_px[number].tolist(),
    }


@pytest.fixture(scope="module", params=FILMS, ids=NAMES)
def pair(request, root):
    """The second person, as tall as the hitter, stands as near beside as the bat lets them."""
    name, beside_them, instant = request.param
    truth = json.loads((root / "tests" / "films" / "out" / f"{name}.json").read_text())
    number = truth["swings"][0]["instants"][instant]["frame"]
    picture, seen = frame(root, name, number), seen_in(root, name, number)
    x0, y0, x1, y1 = (round(value) for value in seen_in(root, beside_them, 60)["box"])
    _left, top, right, bottom = seen["box"]
    figure = frame(root, beside_them, 60).crop((x0, y0 - 12, x1, y1))
    size = (round((x1 - x0) * (bottom - top) / (y1 - y0)), round(bottom - top))
    reach = max([right, *(x for x, _ in seen["bat"] or [])])
    place = (round(reach + 30), round(top))
    picture.paste(figure.resize(size), place)
    return Pair(picture, seen, (*place, min(picture.width, place[0] + size[0]), place[1] + size[1]))


def detail(picture, box):
    """The energy of what is finer than a few pixels: what a face is known by."""
    part = picture.crop(box).convert("L")
    smooth = part.filter(ImageFilter.GaussianBlur(4))
    return float(np.mean((np.asarray(part, float) - np.asarray(smooth, float)) ** 2))


def test_the_other_person_cannot_be_recognised(pair):
    alone = beside.alone(pair.picture, pair.seen, pair.picture.width)
    x0, y0, x1, _y1 = pair.other
    head = (x0, y0, x1, y0 + 80)
    for box in (pair.other, head):
        assert detail(pair.picture, box) > 20
        assert detail(alone, box) < 0.01 * detail(pair.picture, box)


def test_nothing_of_the_other_can_be_won_back_by_sharpening(pair):
    """Cells as large as half a head: fewer numbers are left of a face than it has eyes, nose and mouth."""
    alone = beside.alone(pair.picture, pair.seen, pair.picture.width)
    sharpened = alone.filter(ImageFilter.UnsharpMask(radius=20, percent=500, threshold=0))
    assert detail(sharpened, pair.other) < 0.03 * detail(pair.picture, pair.other)


def test_the_hitter_and_the_bat_are_untouched(pair):
    alone = beside.alone(pair.picture, pair.seen, pair.picture.width)
    points = [point for point in pair.seen["points"] if point and point[2] > 0.5]
    middles = [((np.array(a) + np.array(b)) / 2) for a, b in pairwise(points)][12:14]
    for x, y, *_ in [*points, *middles, *(pair.seen["bat"] or [])]:
        spot = (round(x) - 4, round(y) - 4, round(x) + 4, round(y) + 4)
        before, after = (np.asarray(each.crop(spot), float) for each in (pair.picture, alone))
        assert np.abs(before - after).max() <= 2, (x, y)


def test_what_is_far_from_hitter_and_marks_is_cut_away(pair):
    size = pair.picture.size
    plain = beside.window(pair.seen, [], size)
    x0, y0, x1, y1 = pair.seen["box"]
    assert plain[0] <= x0
    assert plain[1] <= y0
    assert plain[2] >= x1
    assert plain[3] >= y1
    assert (plain[2] - plain[0]) * (plain[3] - plain[1]) < 0.45 * size[0] * size[1]
    ring = {"kind": "ring", "points": [[60, 600], [60, 640]], "tone": "coach"}
    marked = beside.window(pair.seen, [ring], size)
    assert (marked[0], marked[3] >= 640) == (0, True)


def test_a_frame_on_which_nobody_was_seen_is_blurred_whole(pair):
    alone = beside.alone(pair.picture, {}, pair.picture.width)
    assert detail(alone, (0, 0, *pair.picture.size)) < 0.05 * detail(pair.picture, (0, 0, *pair.picture.size))
    assert beside.window({}, [], pair.picture.size) == (0, 0, *pair.picture.size)


def test_a_hitter_of_whom_only_the_box_is_known_is_kept(pair):
    alone = beside.alone(pair.picture, {"box": pair.seen["box"]}, pair.picture.width)
    x0, y0, x1, y1 = (round(value) for value in pair.seen["box"])
    inner = (x0 + 20, y0 + 20, x1 - 20, y1 - 20)
    assert np.array_equal(np.asarray(alone.crop(inner)), np.asarray(pair.picture.crop(inner)))


@pytest.mark.parametrize("share", [0.5, 2.0])
def test_the_still_may_be_smaller_or_larger_than_the_clip(pair, share):
    """The same people come out the same, in the clip's own measure."""
    size = (round(pair.picture.width * share), round(pair.picture.height * share))
    alone = beside.alone(pair.picture.resize(size), pair.seen, pair.picture.width).resize(pair.picture.size)
    assert detail(alone, pair.other) < 0.02 * detail(pair.picture, pair.other)


class TestWhatIsPublished:
    @pytest.fixture
    def markup(self, pair, review, monkeypatch):
        review.clip.measurement.result["clip"].update(width=pair.picture.width, height=pair.picture.height)
        review.clip.measurement.tracks = "tracks.npz"
        monkeypatch.setattr(publish, "still", lambda _measurement, _frame: pair.picture)
        monkeypatch.setattr(publish, "stretch", lambda *_: {name: [held] for name, held in pair.seen.items()})
        return MarkUp(review=review, clip=review.clip, frame=38, caption="Contact")

    def test_shows_the_hitter_alone(self, markup, pair):
        made = Image.open(io.BytesIO(publish.picture(markup)))
        x0, y0, x1, y1 = beside.window(pair.seen, [], pair.picture.size)
        assert made.width == max(SHARP, x1 - x0)
        made = made.resize((x1 - x0, y1 - y0))
        there = (pair.other[0] - x0 + 10, pair.other[1] - y0, min(made.width, pair.other[2] - x0), pair.other[3] - y0)
        if there[2] > there[0] + 10:  # not cut away altogether
            assert detail(made, there) < 0.03 * detail(pair.picture, pair.other)

    def test_shows_all_when_the_coach_keeps_the_people_beside(self, markup, pair):
        markup.keep_others = True
        made = Image.open(io.BytesIO(publish.picture(markup)))
        assert made.size == pair.picture.size
        assert detail(made, pair.other) > 0.8 * detail(pair.picture, pair.other)

    def test_shows_nobody_where_the_tracks_are_lost(self, markup, pair, monkeypatch):
        def lost(*_):
            raise FileNotFoundError("tracks.npz")

        monkeypatch.setattr(publish, "stretch", lost)
        made = Image.open(io.BytesIO(publish.picture(markup)))
        assert detail(made, (0, 0, *made.size)) < 0.05 * detail(pair.picture, (0, 0, *pair.picture.size))


WORDS = {"kind": "words", "points": [[560, 200]], "tone": "coach", "text": "hands stay high"}
ALONG = {"kind": "angle", "points": [[500, 100], [520, 220], [470, 340]], "tone": "seen", "text": "too straight"}


@pytest.mark.parametrize("shape", [WORDS, ALONG])
def test_the_part_that_is_shown_makes_room_for_words_and_keeps_the_hitter_large(shape):
    seen = {"points": None, "bat": None, "box": [380, 120, 500, 360]}
    bare = beside.window(seen, [{**shape, "kind": "line", "text": "", "points": shape["points"] * 2}], (1280, 720))
    x0, y0, x1, y1 = beside.window(seen, [shape], (1280, 720))
    assert x0 < 380
    assert y1 > 360
    assert x1 - x0 <= 1.5 * (bare[2] - bare[0])
    made = draw(Image.new("RGB", (1280, 720)), [shape], 1280, None, (x0, y0, x1, y1))
    inked = np.asarray(made).max(axis=2) > 100
    assert not inked[:, :3].any()  # no letter is cut off at an edge
    assert not inked[:, -3:].any()


def test_a_small_part_is_drawn_large_enough_for_clean_letters():
    picture = draw(Image.new("RGB", (640, 360)), [], 640, None, (100, 50, 300, 300))
    assert picture.size == (720, 900)

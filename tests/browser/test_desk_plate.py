"""Home plate marked on the frame: five corners, seen where they lie however the camera moves, and the readings after it."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from analysis.read.ground import PLATE_IN
from portal.desk.models import MarkUp
from tests.analysis.read.motion import Film, film_swing
from tests.analysis.read.test_ground import SIZE, plate_seen
from tests.browser.conftest import DESKTOP, PHONE
from tests.browser.desk_film import until, write_read_film
from tests.browser.desk_pages import (
    SMALL,
    click_in_clip,
    drag_in_clip,
    frame_of,
    go,
    on_page,
    reading_of,
    ready,
    settled,
    standing,
)
from tests.browser.width import fits
from tests.servers import wait_until

pytest_plugins = ["tests.browser.desk_pages"]

SIZES = {"desktop": DESKTOP, "phone": {**PHONE, "viewport": {"width": 390, "height": 844}}}
PLATE = plate_seen(0.0, down_deg=8.0) * (
    SMALL["width_px"] / SIZE[0]
)  # its line runs to the right, as the hitter's does
PAN = 60.0  # pixels that the camera turns by over the clip


@pytest.fixture(scope="session")
def tracks():
    return film_swing(Film(**SMALL, pan_px=PAN))


@pytest.fixture(scope="session")
def film(tracks):
    return write_read_film(tracks)


def in_frame(tracks, frame: int, corners=PLATE) -> np.ndarray:
    """Where a frame shows points of the reference frame: OpenCV's mapping with the inverse of the tracks' homography."""
    back = np.linalg.inv(tracks.camera[frame].astype(float))
    return cv2.perspectiveTransform(np.asarray(corners, float)[None], back)[0]


def at_plate(open_desk, stop="foot_down", **options):
    page = open_desk(stop, **options)
    go(page, frame_of(stop))
    page.get_by_role("button", name="Plate", exact=True).click()
    page.evaluate("desk.film.viewport.fit('whole')")
    # The tool's words take room, and the film hears of its new size two pictures of the screen later.
    page.evaluate("new Promise((go_on) => requestAnimationFrame(() => requestAnimationFrame(go_on)))")
    return page


def mark(page, tracks, frame: int, corners=PLATE) -> None:
    size = page.evaluate("({...desk.film.viewport.size})")
    for place in in_frame(tracks, frame, corners):
        assert page.evaluate("({...desk.film.viewport.size})") == size, "the film grows or shrinks between two corners"
        click_in_clip(page, *place)


def words(page) -> str:
    return page.locator("#plate-words").text_content()


def test_the_camera_moves_in_this_film(tracks):
    assert np.abs(in_frame(tracks, 20) - in_frame(tracks, 150)).max() > PAN / 2


def test_five_corners_are_kept_in_the_reference_frame_and_sharpen_the_readings(open_desk, tracks):
    page = at_plate(open_desk)
    frame, before = frame_of("foot_down"), reading_of("down_foot_opening")["interval"]
    assert "0 of 5" in words(page)
    mark(page, tracks, frame)
    settled(page)
    assert np.allclose(standing().corrections["plate"], PLATE, atol=1.0)
    until(page, "document.querySelector('#plate-words').textContent.includes('is read from these corners')")
    low, high = reading_of("down_foot_opening")["interval"]
    assert high - low < 0.99 * (before[1] - before[0])
    page.reload()
    ready(page)
    go(page, frame)
    assert np.allclose(page.evaluate("desk.film.tools.plate.shown()"), in_frame(tracks, frame), atol=1.0)


def test_the_corners_stay_on_the_plate_while_the_camera_moves(open_desk, tracks):
    page = at_plate(open_desk)
    mark(page, tracks, frame_of("foot_down"))
    settled(page)
    for frame in (0, 60, 179):
        go(page, frame)
        assert np.allclose(page.evaluate("desk.film.tools.plate.shown()"), in_frame(tracks, frame), atol=1.0)
        x, y = on_page(page, *in_frame(tracks, frame)[2])
        box = page.locator("#film-canvas").bounding_box()
        red, green, blue = page.evaluate(
            """([x, y]) => [...desk.film.viewport.canvas.getContext("2d")
               .getImageData(Math.round(x * devicePixelRatio), Math.round(y * devicePixelRatio), 1, 1).data].slice(0, 3)""",
            [x - box["x"], y - box["y"]],
        )
        assert min(red, green, blue) > 200, f"no handle is drawn at the corner in frame {frame}"


def test_corners_may_be_marked_on_different_frames(open_desk, tracks):
    page = at_plate(open_desk)
    for n, frame in enumerate((10, 50, 90, 130, 170)):
        go(page, frame)
        click_in_clip(page, *in_frame(tracks, frame)[n])
    settled(page)
    assert np.allclose(standing().corrections["plate"], PLATE, atol=1.0)


def test_a_corner_is_dragged_on_another_frame(open_desk, tracks):
    page = at_plate(open_desk)
    mark(page, tracks, frame_of("foot_down"))
    settled(page)
    go(page, 150)
    there = in_frame(tracks, 150)[3]
    drag_in_clip(page, there, (there[0] - 9, there[1] + 4))
    settled(page)
    wanted = PLATE.copy()
    wanted[3] += (-9, 4)  # the camera only turns: lengths are alike in every frame
    assert np.allclose(standing().corrections["plate"], wanted, atol=1.5)


def test_the_plate_is_looked_at_closer_before_it_is_marked(open_desk, tracks):
    page = at_plate(open_desk)
    before = page.evaluate("desk.film.viewport.view.scale")
    page.mouse.move(*on_page(page, *in_frame(tracks, frame_of("foot_down")).mean(axis=0)))
    page.mouse.wheel(0, -300)
    until(page, f"desk.film.viewport.view.scale > {1.2 * before}")
    mark(page, tracks, frame_of("foot_down"))
    settled(page)
    assert np.allclose(standing().corrections["plate"], PLATE, atol=0.6)
    page.get_by_role("button", name="Whole picture").click()
    assert page.evaluate("desk.film.viewport.isWhole")


def test_the_plate_is_marked_and_moved_without_a_pointer(open_desk, tracks):
    page = open_desk("foot_down")
    frame = frame_of("foot_down")
    go(page, frame)
    page.keyboard.press("e")
    for n in range(1, 6):
        page.get_by_role("button", name=f"Corner {n}").focus()
        page.keyboard.press("Enter")
    settled(page)
    first = np.array(standing().corrections["plate"])
    assert len(first) == 5
    page.get_by_role("button", name="Corner 3").focus()
    page.keyboard.press("Shift+ArrowRight")
    settled(page)
    page.keyboard.press("ArrowUp")
    settled(page)
    moved = np.array(standing().corrections["plate"]) - first
    assert np.allclose(moved, [[0, 0], [0, 0], [10, -1], [0, 0], [0, 0]], atol=0.21)
    assert page.evaluate("desk.film.frame") == frame, "the arrows moved the corner and not the film"


def test_a_corner_too_many_is_undone_and_all_are_taken_back(open_desk, tracks):
    page = at_plate(open_desk)
    frame, before = frame_of("foot_down"), reading_of("down_foot_opening")
    seen = in_frame(tracks, frame)
    click_in_clip(page, *seen[0])
    click_in_clip(page, 100, 100)
    assert "2 of 5" in words(page)
    page.keyboard.press("z")
    assert "1 of 5" in words(page)
    for place in seen[1:]:
        click_in_clip(page, *place)
    settled(page)
    assert np.allclose(standing().corrections["plate"], PLATE, atol=1.0)
    page.get_by_role("button", name="Take them back").click()
    settled(page)
    assert "plate" not in standing().corrections
    assert reading_of("down_foot_opening") == before
    assert "0 of 5" in words(page)


def test_corners_that_are_no_plate_are_said_to_be_unused(open_desk, tracks):
    page = at_plate(open_desk)
    for place in ((100, 300), (300, 300), (140, 340), (300, 345), (100, 345)):
        click_in_clip(page, *place)
    settled(page)
    until(page, "document.querySelector('#plate-words').textContent.includes('not used')")
    page.reload()
    ready(page)
    page.keyboard.press("e")
    assert "not used" in words(page)


@pytest.mark.parametrize(("size", "scheme"), [("desktop", "dark"), ("phone", "light")])
def test_the_plate_is_accessible_and_fits(open_desk, tracks, axe, shot, size, scheme):
    page = at_plate(open_desk, **SIZES[size], color_scheme=scheme)
    axe(page)
    fits(page)
    mark(page, tracks, frame_of("foot_down"))
    settled(page)
    until(page, "document.querySelector('#plate-words').textContent.includes('is read from these corners')")
    axe(page)
    fits(page)
    shot(page, f"desk-plate-{size}-{scheme}")


@pytest.mark.parametrize(
    ("kind", "place", "degrees"), [("ground_line", (12, -8), 33.7), ("ground_edge", (4, -10), 21.8)]
)
def test_an_angle_on_the_ground_is_true_in_the_picture_of_a_camera_that_moves(open_desk, tracks, kind, place, degrees):
    """Drawn from the plate's tip to a place on the ground that is known in inches: ahead, and to the right."""
    page = at_plate(open_desk)
    frame = frame_of("foot_down")
    mark(page, tracks, frame)
    settled(page)
    until(page, "desk.film.bodies.ground")
    page.evaluate(f"desk.film.tools.choose('{kind}')")
    corner, end = in_frame(tracks, frame, [PLATE[0], on_plate(*place)])
    page.keyboard.down("Alt")
    drag_in_clip(page, tuple(corner), tuple(end))
    page.keyboard.up("Alt")
    (drawn,) = page.evaluate("desk.film.tools.shapes")
    assert (drawn["kind"], len(drawn["points"])) == (kind, 3)
    assert drawn["degrees"] == pytest.approx(degrees, abs=4.0)
    page.keyboard.press("Escape")
    click_in_clip(page, *((corner + end) / 2))  # chosen: its end can be dragged
    page.keyboard.down("Alt")
    drag_in_clip(page, tuple(end), tuple(in_frame(tracks, frame, [on_plate(17, 0)])[0]))  # straight ahead now
    page.keyboard.up("Alt")
    (moved,) = page.evaluate("desk.film.tools.shapes")
    assert moved["degrees"] == pytest.approx(0 if kind == "ground_line" else 90, abs=4.0)
    assert wait_until(lambda: MarkUp.objects.filter(shapes__0__degrees=moved["degrees"]).exists(), 20)


def on_plate(ahead: float, right: float) -> np.ndarray:
    """Where the reference frame shows a place of the ground, by OpenCV's mapping of the plate's corners."""
    mapping, _used = cv2.findHomography(PLATE_IN, PLATE)
    return cv2.perspectiveTransform(np.array([[[ahead, right]]], float), mapping)[0, 0]

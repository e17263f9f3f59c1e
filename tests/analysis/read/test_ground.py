"""Home plate gives the line: against OpenCV's pose, and against known cameras."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from analysis.read import read
from analysis.read.constants import FOCAL_SHARE
from analysis.read.corrections import parse_corrections
from analysis.read.geometry import turn_between
from analysis.read.ground import PLATE_IN, read_plate
from analysis.read.pipeline import analyse_clip
from tests.analysis.read.motion import Film, film_swing
from tests.lift.spreads import spreads

SIZE = (1280.0, 720.0)
INCH = 0.0254


def plate_seen(ahead_deg: float, down_deg: float = 14.0, distance: float = 5.0) -> np.ndarray:
    """The plate's corners in a camera that looks down a little, with the line in a given direction on its axes."""
    # Field on the camera's axes (x right, y down, z away): ahead and right turned about the vertical, then tilted.
    angle = np.radians(ahead_deg)
    ahead = np.array([np.cos(angle), 0.0, np.sin(angle)])
    right = np.cross([0.0, 1.0, 0.0], ahead)
    points = PLATE_IN[:, :1] * INCH * ahead + PLATE_IN[:, 1:] * INCH * right
    points = Rotation.from_euler("x", down_deg, degrees=True).apply(points + np.array([0.0, 1.3, distance]))
    focal = FOCAL_SHARE * SIZE[0]
    return focal * points[:, :2] / points[:, 2:] + np.array(SIZE) / 2.0


def test_the_plate_is_that_of_the_rules() -> None:
    # Official Baseball Rules: front edge 17 in, sides 8.5 in, back edges 12 in (the rule's 12 is 12.02 by its
    # own shape).
    edges = np.linalg.norm(np.roll(PLATE_IN, -1, axis=0) - PLATE_IN, axis=1)
    np.testing.assert_allclose(edges, [12.0, 8.5, 17.0, 8.5, 12.0], atol=0.03)


@pytest.mark.parametrize("ahead", [-150.0, -30.0, 0.0, 25.0, 90.0, 170.0])
def test_the_line_is_that_of_opencvs_pose(ahead: float) -> None:
    """OpenCV's solvePnP, told the focal length, turns the same corners into the same line."""
    corners, focal = plate_seen(ahead), FOCAL_SHARE * SIZE[0]
    camera = np.array([[focal, 0.0, SIZE[0] / 2], [0.0, focal, SIZE[1] / 2], [0.0, 0.0, 1.0]])
    plate = np.column_stack([PLATE_IN, np.zeros(5)])
    _, turn, _ = cv2.solvePnP(plate, corners, camera, None, flags=cv2.SOLVEPNP_IPPE)
    line, _, down = cv2.Rodrigues(turn)[0].T
    ground = read_plate(corners, SIZE)
    assert ground is not None
    assert turn_between(direction_on_ground(line, down), ground.ahead) == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("corner", [(500.0, 400.0), (99_999.0, 99_999.0)])
def test_corners_in_one_place_are_no_plate(corner: tuple[float, float]) -> None:
    assert read_plate(np.array([corner] * 5), SIZE) is None


def direction_on_ground(line: np.ndarray, down: np.ndarray) -> float:
    """A line of the ground, on the axes of a camera (x right, y down, z away), in degrees: 0 = to the right, 90 = away."""
    away = np.array([0.0, 0.0, 1.0]) - down * down[2]
    away /= np.linalg.norm(away)
    return float(np.degrees(np.arctan2(line @ away, line @ np.cross(down, away))))


@pytest.mark.parametrize("ahead", [-150.0, -90.0, -30.0, 0.0, 25.0, 90.0, 170.0])
def test_the_line_is_where_the_camera_sees_it(ahead: float) -> None:
    ground = read_plate(plate_seen(ahead), SIZE)
    assert ground is not None
    assert turn_between(ahead, ground.ahead) == pytest.approx(0.0, abs=2.0)


@pytest.mark.parametrize("shift", range(5))
@pytest.mark.parametrize("way", [1, -1])
def test_corners_may_start_anywhere_and_go_either_way(shift: int, way: int) -> None:
    corners = np.roll(plate_seen(10.0)[::way], shift, axis=0)
    ground = read_plate(corners, SIZE)
    assert ground is not None
    assert ground.ahead == pytest.approx(10.0, abs=2.0)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("ahead", "distance"),
    [(-150.0, 4.0), (-90.0, 8.0), (-30.0, 4.0), (0.0, 8.0), (25.0, 4.0), (90.0, 8.0), (170.0, 4.0)],
)
def test_corners_placed_a_little_off_turn_the_line_little_and_the_deviation_says_how_much(
    ahead: float, distance: float
) -> None:
    rng = np.random.default_rng(7)
    off, sds = [], []
    for _ in range(20):
        seen = plate_seen(ahead, distance=distance) + rng.normal(0.0, 1.5, (5, 2))
        ground = read_plate(seen, SIZE, near=ahead + rng.normal(0.0, 12.0))
        assert ground is not None
        off.append(turn_between(ahead, ground.ahead))
        sds.append(ground.sd)
    assert np.sqrt(np.mean(np.square(off))) < 8.0
    assert np.mean(np.abs(off) <= 1.645 * np.array(sds)) >= 0.8


def test_the_farther_the_plate_the_less_sure_the_line() -> None:
    near, far = (read_plate(plate_seen(20.0, distance=distance), SIZE) for distance in (4.0, 14.0))
    assert near is not None
    assert far is not None
    assert far.sd > near.sd


def test_the_line_of_rendered_films_is_that_of_their_cameras() -> None:
    """The films' cameras are known to the digit: their plates, as the picture has them, must give the line they have."""
    films = sorted((Path(__file__).parents[2] / "films" / "out").glob("*.json"))
    assert len(films) >= 7
    for path in films:
        film = json.loads(path.read_text())["film"]
        turn = np.array(film["camera"]["R"])
        line, down = turn @ [1.0, 0.0, 0.0], -(turn @ [0.0, 1.0, 0.0])
        true = direction_on_ground(line, down)
        ground = read_plate(np.array(film["plate_px"]), (film["width"], film["height"]))
        assert ground is not None, path.stem
        assert turn_between(true, ground.ahead) == pytest.approx(0.0, abs=3.0), path.stem


def test_five_points_that_are_no_plate_are_refused() -> None:
    assert read_plate(np.array([[0, 0], [100, 0], [20, 80], [100, 100], [0, 100.0]]), SIZE) is None


SIDES = (0.0, 180.0, 90.0, -90.0)


def spot(ahead_deg: float, place: np.ndarray) -> np.ndarray:
    """Where the camera of `plate_seen` shows a place of the ground: inches ahead of the plate's tip, and to the right."""
    plate = plate_seen(ahead_deg)
    mapping, _used = cv2.findHomography(PLATE_IN, plate)
    return cv2.perspectiveTransform(place[None, None], mapping)[0, 0]


def direction(plane: np.ndarray, ahead_deg: float, degrees: float) -> float:
    """What a plane tells of a shoe's length on the ground beside the plate, whose true direction is `degrees`."""
    heel = np.array([6.0, -28.0])
    toe = heel + 11.0 * np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    pixels = np.array([[spot(ahead_deg, place) for place in (heel, toe)]])
    (seen_heel, seen_toe) = cv2.perspectiveTransform(pixels, plane)[0]
    return float(np.degrees(np.arctan2(seen_toe[1] - seen_heel[1], seen_toe[0] - seen_heel[0])))


@pytest.mark.parametrize("ahead", SIDES)
@pytest.mark.parametrize("degrees", [0.0, 45.0, 90.0])
def test_directions_on_the_ground_are_those_of_opencvs_mapping(ahead: float, degrees: float) -> None:
    """Exact corners: OpenCV's findHomography says where the picture shows a shoe, and the plane which way it points."""
    ground = read_plate(plate_seen(ahead), SIZE, near=ahead)
    assert ground is not None
    assert direction(ground.plane, ahead, degrees) == pytest.approx(degrees, abs=2.0)


def test_a_hand_that_misses_corners_by_a_pixel_turns_directions_little() -> None:
    rng = np.random.default_rng(7)
    told = []
    for _ in range(12):
        ground = read_plate(plate_seen(0.0) + rng.normal(0.0, 1.0, (5, 2)), SIZE, near=0.0)
        assert ground is not None
        told.append(direction(ground.plane, 0.0, 45.0))
    print(f"45 degrees told as {np.mean(told):.1f}, deviation {np.std(told):.1f}")
    assert np.std(told) < 6.0
    assert np.mean(told) == pytest.approx(45.0, abs=5.0)


def test_a_plate_placed_by_a_coach_turns_the_hips_with_the_line() -> None:
    tracks = film_swing(Film(noise_px=0.5, depth_noise_m=0.01))
    free = spreads(tracks)["down_hips_square"]
    straight, turned = (
        spreads(tracks, {"plate": plate_seen(line).tolist()})["down_hips_square"] for line in (0.0, 15.0)
    )
    # The line is turned away from the camera at the chest, so the same hips are that much more closed against it.
    assert turned.value - straight.value == pytest.approx(-15.0, abs=3.0)
    assert turned.half < free.half


def test_a_plate_that_was_seen_for_sure_is_used_and_a_doubtful_one_is_not() -> None:
    tracks = film_swing(Film(noise_px=0.5, depth_noise_m=0.01))
    free, doubtful, straight, turned = (
        spreads(replace(tracks, plate_px=plate_seen(line).astype(np.float32), plate_confidence=confidence))["down_hips_square"].value
        for line, confidence in ((15.0, 0.0), (15.0, 0.5), (0.0, 0.95), (15.0, 0.95))
    )
    assert turned - straight == pytest.approx(-15.0, abs=3.0)
    assert doubtful == free


def test_the_reading_says_what_the_line_was_read_from() -> None:
    tracks = film_swing(Film(noise_px=0.5, depth_noise_m=0.01))
    corners = plate_seen(15.0)
    seen = replace(tracks, plate_px=corners.astype(np.float32), plate_confidence=0.95)
    odd = [[0, 0], [100, 0], [20, 80], [100, 100], [0, 100]]
    against_the_view = plate_seen(100.0).tolist()
    assert (read(tracks).film.line_source, read(tracks).film.ground) == ("measured", None)
    assert read(seen).film.line_source == "plate"
    assert len(read(seen).film.to_json()["ground"]) == 9
    assert read(seen, {"plate": corners.tolist()}).film.line_source == "coach"
    assert read(seen, {"plate": odd}).film.line_source == "measured"
    assert read(seen, {"plate": against_the_view}).film.line_source == "measured"


def test_a_hitter_beside_the_middle_of_the_picture_sees_the_plates_line_turned() -> None:
    """Where the ray to the hitter is turned to the right, the same line runs that much more away from the camera along it."""
    middle = film_swing(Film(noise_px=0.5, depth_noise_m=0.01))
    aside = replace(middle, keypoints_px=middle.keypoints_px + np.array([300.0, 0.0], np.float32))
    fixed = parse_corrections({"plate": plate_seen(5.0).tolist()}, middle.frames)
    ahead = [analyse_clip(tracks, fixed).facing.ahead for tracks in (middle, aside)]
    assert turn_between(*ahead) == pytest.approx(np.degrees(np.arctan(300.0 / (FOCAL_SHARE * SIZE[0]))), abs=3.0)

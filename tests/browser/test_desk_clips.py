"""The desk over films as families send them: a field by day, a cage, and a cage in the evening with hardly any light.

Whatever lies under a mark, it is told from it: beside every line runs its edge, or the film is as far from the line as the edge
would be (WCAG 2.2, success criterion 1.4.11: 3 to 1). And the page fits, and passes axe-core, at every size; each theme at some of them.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from PIL import Image

from analysis.read import read
from analysis.tracks import load as load_tracks
from portal.desk.models import Review
from portal.drills.library import load as load_drills
from portal.evaluations.light import CURVE
from portal.evaluations.parts import TABLE
from portal.evaluations.publish import publish
from portal.evaluations.stills import still
from tests.browser.conftest import DESKTOP
from tests.browser.desk_film import coach_with_film, until
from tests.browser.desk_pages import frame_of, go, ready
from tests.browser.width import fits
from tests.products import write_products

TESTS = Path(__file__).resolve().parent.parent
FIELD, CAGE, EVENING = "rowan_right_chest_uneven", "willow_left_chest", "aspen_left_back_child"
CLIPS = {"field": FIELD, "cage": CAGE, "dark": EVENING}
SIZES = {
    "desktop": DESKTOP,
    "large": {"viewport": {"width": 1920, "height": 1080}},
    "tablet": {"viewport": {"width": 768, "height": 1024}, "has_touch": True, "is_mobile": True},
    "tablet-lying": {"viewport": {"width": 1024, "height": 768}, "has_touch": True, "is_mobile": True},
}
LEAST = 3.0
# A mark of each tone over what is behind the hitter, and words of each; in shares of the hitter's box.
DRAWN = [
    {"kind": "line", "points": [[0.08, 0.3], [0.08, 0.92]], "tone": "seen", "text": ""},
    {"kind": "arrow", "points": [[0.62, 0.06], [0.9, 0.2]], "tone": "wanted", "text": "hands first"},
    {"kind": "line", "points": [[0.06, 0.03], [0.3, 0.03]], "tone": "wanted", "text": ""},
    {"kind": "angle", "points": [[0.72, 0.6], [0.86, 0.85], [0.96, 0.5]], "tone": "coach", "text": ""},
    {"kind": "words", "points": [[0.12, 0.97]], "tone": "seen", "text": "front foot"},
]
# Between two points of these the line is looked at: by the place of the mark above, and of its points.
LINES = [(0, 0, 1), (1, 0, 1), (2, 0, 1), (3, 0, 1), (3, 1, 2)]


def darkened(clip: Path, to: Path) -> None:
    """The same film with little light and some noise of the sensor, frame for frame at the same times."""
    dice, shade = np.random.default_rng(1), np.rint(255 * 0.3 * (np.arange(256) / 255.0) ** 1.5).astype(np.int16)
    with av.open(str(clip)) as given, av.open(str(to), "w") as made:
        told = given.streams.video[0]
        out = made.add_stream("libx264", rate=60, options={"crf": "20", "preset": "ultrafast", "bf": "0"})
        out.width, out.height, out.pix_fmt, out.time_base = told.width, told.height, "yuv420p", told.time_base
        # drawn once, and laid over each picture from another place: drawing it for each took longer than packing
        noise = np.rint(3 * dice.standard_normal((told.height + 256, told.width + 256, 1))).astype(np.int16)
        for frame in given.decode(told):
            down, right = dice.integers(256, size=2)
            picture = frame.to_ndarray(format="rgb24")
            noisy = shade[picture] + noise[down : down + told.height, right : right + told.width]
            dark = av.VideoFrame.from_ndarray(noisy.clip(0, 255).astype(np.uint8), format="rgb24")
            dark.pts, dark.time_base = frame.pts, told.time_base
            made.mux(out.encode(dark))
        made.mux(out.encode())


@pytest.fixture(scope="session")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], tuple[Path, dict[str, Any]]]:
    """clip(kind): products and reading of one of the films, made once."""
    made: dict[str, tuple[Path, dict[str, Any]]] = {}

    def of(kind: str) -> tuple[Path, dict[str, Any]]:
        if kind not in made:
            name, folder = CLIPS[kind], tmp_path_factory.mktemp(kind)
            film = TESTS / "films" / "out" / f"{name}.mp4"
            tracks = load_tracks(TESTS / "analysis" / "read" / "data" / f"{name}.tracks.npz")
            if kind == "dark":
                tracks.clip["has_sound"] = False
                darkened(film, film := folder / "evening.mp4")
            result = read(tracks).to_json()
            write_products(film, tracks, result, folder / "products")
            tracks.save(folder / "products" / "tracks.npz")
            made[kind] = folder / "products", result
        return made[kind]

    return of


@pytest.fixture
def desk(site: str, open_page: Any, sign_in: Any, clip: Any) -> Callable[..., Any]:
    """desk(kind, size, theme): the desk at contact with marks of every tone, the body and its wanted position."""

    def open_one(kind: str, **options: Any) -> Any:
        load_drills()
        coach, review = coach_with_film(*clip(kind))
        page = open_page(**options)
        sign_in(page, coach)
        page.goto(f"/submissions/{review.submission_id}/desk/foot_down/")
        ready(page)
        go(page, frame_of("foot_down"))
        draw(page)
        return page

    return open_one


def draw(page: Any) -> None:
    box = page.evaluate("desk.data.clip.hitter")
    x0, y0, x1, y1 = box
    put = lambda x, y: [x0 + x * (x1 - x0), y0 + y * (y1 - y0)]  # noqa: E731
    shapes = [{**one, "points": [put(*point) for point in one["points"]]} for one in DRAWN]
    page.evaluate("(shapes) => desk.film.marks.draw(desk.film.frame, shapes)", shapes)
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")


# The words of labels and buttons below the film that their bar cuts off above or below.
CUT = """() => [...document.querySelectorAll(".slot label, .slot button, .frames button, .frames label")].flatMap((one) => {
  if (one.matches(".unseen, :has(.unseen)")) return [];
  const bar = one.closest(".bar").getBoundingClientRect();
  const words = document.createRange();
  words.selectNodeContents(one);
  const cut = [...words.getClientRects()].some((line) => line.height && (line.top < bar.top - 1 || line.bottom > bar.bottom + 1));
  return cut ? [one.textContent.trim()] : [];
})"""


# Every size, clip and theme, not every pair: the size decides how the page lies, the theme its colours, at any size.
LOOKS = [
    ("field", "desktop", "light"),
    ("dark", "desktop", "dark"),
    ("cage", "large", "light"),
    ("dark", "tablet", "light"),
    ("field", "tablet-lying", "dark"),
]


@pytest.mark.parametrize(("kind", "size", "theme"), LOOKS)
def test_the_page_is_in_order(desk, axe, shot, kind, size, theme):
    page = desk(kind, **SIZES[size], color_scheme=theme)
    fits(page)
    assert page.evaluate(CUT) == []
    axe(page)
    shot(page, f"clip-{kind}-{size}-{theme}")


def contrast(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """By WCAG 2.2's definitions of relative luminance and contrast ratio; colours [..., 3] of 0 to 255."""

    def luminance(colour: np.ndarray) -> np.ndarray:
        share = colour / 255.0
        linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
        return linear @ np.array([0.2126, 0.7152, 0.0722])

    a, b = luminance(one), luminance(other)
    return (np.maximum(a, b) + 0.05) / (np.minimum(a, b) + 0.05)


def beside_a_line(picture: np.ndarray, start: Any, end: Any, ink: str) -> float:
    """How far a line is told from what runs along it, at its weaker side: the least of the places between its ends at which there is
    ink (a wanted line is dashed).
    """
    start, end = np.asarray(start, float), np.asarray(end, float)
    along = (end - start) / np.hypot(*(end - start))
    across = np.array([-along[1], along[0]])
    own = np.array([int(ink[n : n + 2], 16) for n in (1, 3, 5)])
    least, found = np.inf, 0
    for share in np.linspace(0.3, 0.7, 40):
        middle = start + share * (end - start)
        places = np.rint(middle + np.arange(-6.0, 7.0)[:, None] * across).astype(int)
        row = picture[places[:, 1], places[:, 0]].astype(float)
        if np.abs(row[5:8] - own).max(axis=1).min() > 12:
            continue
        found += 1
        told = contrast(own.astype(float), row)
        least = min(least, float(told[:6].max()), float(told[7:].max()))
    assert found >= 8, f"no line in {ink} from {start} to {end}"
    return least


@pytest.mark.parametrize("kind", CLIPS)
def test_every_line_is_told_from_what_lies_under_it(desk, shot, kind):
    page = desk(kind, **DESKTOP)
    plain = on_canvas(page)
    page.keyboard.press("Shift+L")
    assert page.locator("#lighter").get_attribute("aria-pressed") == "true"
    lighter = on_canvas(page)
    assert min(told_on(page, plain)) >= LEAST
    assert min(told_on(page, lighter)) >= LEAST
    if kind == "dark":
        assert np.median(lighter) > 2 * np.median(
            plain
        )  # and the marks are none the lighter: they were found by their colours
    page.locator("#lighter").click()
    assert (on_canvas(page) == plain).all()
    page.locator("#lighter").click()
    shot(page, f"clip-{kind}-lighter")
    page.reload()
    ready(page)
    assert page.locator("#lighter").get_attribute("aria-pressed") == "true"  # as long as this desk is open


# In the page: what the desk's own light makes of each shade, and what the picture that will be sent looks like.
SHADES = """() => {
  const box = document.createElement("div"), ramp = new OffscreenCanvas(256, 1), canvas = document.createElement("canvas");
  const ink = ramp.getContext("2d");
  for (let n = 0; n < 256; n++) { ink.fillStyle = `rgb(${n},${n},${n})`; ink.fillRect(n, 0, 1, 1); }
  const viewport = new desk.film.viewport.constructor(box, canvas, { width: 256, height: 1 }, { isOn: true });
  Object.assign(canvas, { width: 256, height: 1 });
  Object.assign(viewport, { isOn: true, size: { width: 256, height: 1 }, picture: ramp.transferToImageBitmap() });
  viewport.draw();
  return [...canvas.getContext("2d").getImageData(0, 0, 256, 1).data].filter((_, n) => n % 4 === 0);
}"""
SENT = """(selector) => {
  const sent = document.querySelector(selector);
  const [width, height] = [sent.naturalWidth ?? sent.width, sent.naturalHeight ?? sent.height];
  if (!width || sent.complete === false) return null;
  const sheet = new OffscreenCanvas(width, height).getContext("2d");
  sheet.drawImage(sent, 0, 0);
  const shades = [...sheet.getImageData(0, 0, width, height).data].filter((_, n) => n % 4 === 1).sort((a, b) => a - b);
  return shades[shades.length >> 1];
}"""


def test_dark_film_is_sent_as_light_as_the_desk_shows_it(desk, shot):
    page = desk("dark", **DESKTOP)
    assert np.abs(np.array(page.evaluate(SHADES)) - CURVE).max() <= 1
    page.keyboard.press("Shift+L")
    review = Review.objects.get()
    page.goto(f"/submissions/{review.submission_id}/desk/preview/")
    picture = "#preview figure img"
    page.wait_for_selector(picture)
    until(page, f"({SENT})('{picture}') !== null")
    dark = page.evaluate(SENT, picture)
    assert page.locator("#lighter-unsent").is_visible()
    page.locator("[data-draft=lighter_clips]").check()
    assert page.locator("#lighter-unsent").is_hidden()
    until(page, f"Math.abs(({SENT})('{picture}') - {CURVE[dark]}) <= 6")  # blur and JPEG between the two
    assert Review.objects.get().lighter_clips == [str(review.clip_id)]
    shot(page, "preview-lighter")
    page.locator("#preview").focus()
    page.keyboard.press("z")
    until(page, "desk.saving.isClean && !document.querySelector('[data-draft=lighter_clips]').checked")
    assert page.locator("#lighter-unsent").is_visible()
    page.locator("[data-draft=lighter_clips]").check()
    until(page, "desk.saving.isClean && desk.saving.state === 'saved'")
    review.refresh_from_db()
    review.thing_title, review.thing_words = "Land softly", "It keeps you in balance."
    review.save()
    edition = publish(review, review.submission.reviewer)
    page.goto(f"/evaluations/{edition.pk}/")
    film = edition.snapshot["film"]["watch"]
    page.locator("#watch-open").click()
    page.wait_for_selector("body[data-watching]")
    middle = np.median(np.asarray(still(review.clip.measurement, film["first"]))[..., 1])
    assert abs(page.evaluate(SENT, "#watch-canvas") - CURVE[int(middle)]) <= 12  # of the part that is shown, scaled
    shot(page, "watch-lighter")


def on_canvas(page: Any) -> np.ndarray:
    page.evaluate("desk.film.viewport.draw()")
    link = page.evaluate("desk.film.viewport.canvas.toDataURL()")
    return np.asarray(Image.open(io.BytesIO(base64.b64decode(link.partition(",")[2]))).convert("RGB"))


def told_on(page: Any, picture: np.ndarray) -> list[float]:
    """How far each line and limb is told from the film beside it."""
    view = page.evaluate("({...desk.film.viewport.view})")
    shapes = page.evaluate("desk.film.marks.at(desk.film.frame).shapes")
    body = page.evaluate("desk.film.bodies.held.get(desk.film.frame)")

    def on_canvas(point: Any) -> list[float]:
        return [view["x"] + point[0] * view["scale"], view["y"] + point[1] * view["scale"]]

    lines = {}
    for n, a, b in LINES:
        shape = shapes[n]
        lines[f"{n}: {shape['kind']}, {shape['tone']}"] = (shape["points"][a], shape["points"][b], shape["tone"])
    for a, b in [(25, 27), (26, 28), (23, 24), (11, 12)]:
        lines[f"limb {a} to {b}"] = (body["points"][a][:2], body["points"][b][:2], "skeleton")
    return [beside_a_line(picture, on_canvas(a), on_canvas(b), TABLE["colours"][ink]) for a, b, ink in lines.values()]

"""A clip over bad lines, in a real browser with the real client: broken off, gone on with, never twice and never torn."""

# ruff: noqa: F401, F811 - fixtures of another module

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from portal.intake.models import Clip, Upload
from tests.browser.desk_film import until
from tests.browser.test_family import begun, camp, choose, lea
from tests.browser.width import fits
from tests.films.numbered import write_clip

MB = 1024 * 1024
SIZES = [("light", 360), ("dark", 1280)]


def make_film(path: Path, size: int = 38 * MB, filling: bytes = b"\x5a") -> Path:
    """A real clip, made larger by a box of the kind that players skip (ISO/IEC 14496-12, 8.1.2)."""
    write_clip(path, frames=30, size=(320, 180))
    rest = size - path.stat().st_size
    with path.open("ab") as film:
        film.write(struct.pack(">I4s", rest, b"free") + filling * (rest - 8))
    return path


@pytest.fixture
def film(tmp_path):
    return make_film(tmp_path / "IMG_0142.MOV")


class Line:
    """The line between a page and the site: lets `pieces` pieces through, then breaks until it is mended."""

    def __init__(self, page, pieces: int) -> None:
        self.page, self.left, self.methods = page, pieces, []
        page.route("**/uploads/**", self._pass)

    def _pass(self, route) -> None:
        method = route.request.method
        if self.left <= 0:
            route.abort("connectionreset")
            return
        self.methods.append(method)
        if method == "PATCH":
            self.left -= 1
        route.continue_()

    def mend(self) -> None:
        self.left = 10**6


def broken_off(page, sign_in, lea, begun, film, pieces=1) -> Line:
    """A page on which the line broke after some pieces."""
    sign_in(page, lea)
    page.goto(f"/submissions/{begun.pk}/clip/")
    line = Line(page, pieces)
    choose(page, film)
    page.get_by_text("Waiting for the connection; nothing is lost.").wait_for()
    return line


def percent(page) -> int:
    return int(page.locator("[data-send-bar]").evaluate("bar => bar.value"))


def test_a_broken_line_is_said_and_the_clip_goes_on_by_itself(page_phone, sign_in, lea, begun, film, axe):
    with page_phone.watch.allowing("Failed to load resource"):
        line = broken_off(page_phone, sign_in, lea, begun, film)
        assert page_phone.get_by_text("Waiting for the connection").get_attribute("role") == "status"
        assert percent(page_phone) == 42  # 16 of 38 MB
        axe(page_phone)
        line.mend()
        page_phone.get_by_role("heading", name="We have Ida’s clip").wait_for()
    assert line.methods == ["POST", "PATCH", "HEAD", "PATCH", "PATCH"]
    assert Clip.objects.get().original.read() == film.read_bytes()


def test_progress_never_runs_backwards(page_phone, sign_in, lea, begun, film):
    page_phone.add_init_script("""
        window.seen = [];
        addEventListener("DOMContentLoaded", () => {
          const bar = document.querySelector("[data-send-bar]");
          if (bar) new MutationObserver(() => seen.push(bar.value)).observe(bar, {attributes: true});
        });""")
    with page_phone.watch.allowing("Failed to load resource"):
        line = broken_off(page_phone, sign_in, lea, begun, film)
        line.left = 1
        page_phone.get_by_role("button", name="Tap to try again").click()
        until(page_phone, "document.querySelector('[data-send-bar]').value >= 84")
        page_phone.get_by_text("Waiting for the connection; nothing is lost.").wait_for()
        values = page_phone.evaluate("seen")
    assert {42, 84} <= set(values)  # of the two pieces that came; what is seen within a piece is the line's
    assert values == sorted(values)


def test_a_closed_page_is_gone_on_with(open_page, sign_in, lea, begun, film, tmp_path):
    page = open_page()
    with page.watch.allowing("Failed to load resource"):
        broken_off(page, sign_in, lea, begun, film, pieces=2)
        page.close()
    page = open_page()
    sign_in(page, lea)
    page.goto("/family/")
    page.get_by_role("link", name="Go on with the clip (84 %)").click()
    page.get_by_text("84% of IMG_0142.MOV is here.").wait_for()
    line = Line(page, 100)
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose the same clip again").click()
    chooser.value.set_files(film)
    page.get_by_role("heading", name="We have Ida’s clip").wait_for()
    assert line.methods == ["HEAD", "PATCH"]
    assert Clip.objects.get().original.read() == film.read_bytes()


def test_another_file_starts_anew_and_is_said_kindly(open_page, sign_in, lea, begun, film, tmp_path):
    """Of the same name and the same size, and another film all the same."""
    page = open_page()
    with page.watch.allowing("Failed to load resource"):
        broken_off(page, sign_in, lea, begun, film)
        page.close()
    (tmp_path / "other").mkdir()
    other = make_film(tmp_path / "other" / film.name, filling=b"\xa5")
    page = open_page()
    sign_in(page, lea)
    page.goto(f"/submissions/{begun.pk}/")
    page.get_by_role("link", name="Go on with the clip (42 %)").click()
    line = Line(page, 1)
    with page.watch.allowing("Failed to load resource"):
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name="Choose the same clip again").click()
        chooser.value.set_files(other)
        page.get_by_text("This is another clip than the one that broke off").wait_for()
        page.get_by_text("Waiting for the connection").wait_for()
        line.mend()
        page.get_by_role("heading", name="We have Ida’s clip").wait_for()
    assert line.methods[0] == "POST"
    assert Clip.objects.get().original.read() == other.read_bytes()


def test_stopping_forgets_it(page_phone, sign_in, lea, begun, film):
    with page_phone.watch.allowing("Failed to load resource"):
        line = broken_off(page_phone, sign_in, lea, begun, film)
        line.mend()
        with page_phone.expect_response(lambda answer: answer.request.method == "DELETE"):
            page_phone.get_by_role("button", name="Stop, choose another clip").click()
        page_phone.get_by_role("button", name="Choose the clip").wait_for()
    assert not Upload.objects.exists()


def test_a_film_refused_by_the_server_is_said_in_its_words(page_phone, sign_in, lea, begun, film):
    begun.player.consents.update(taken_back_at="2026-11-01T00:00Z")
    sign_in(page_phone, lea)
    page_phone.goto(f"/submissions/{begun.pk}/clip/")
    with page_phone.watch.allowing("Failed to load resource"):
        choose(page_phone, film)
        page_phone.get_by_text("Consent was taken back, so we keep no clip.").wait_for()


@pytest.mark.slow
@pytest.mark.parametrize(("theme", "size"), SIZES)
def test_every_state_of_the_page_is_clean_and_fits(open_page, sign_in, lea, begun, film, axe, shot, theme, size):
    page = open_page(viewport={"width": size, "height": 740}, color_scheme=theme)

    def look(name: str) -> None:
        axe(page)
        fits(page)
        shot(page, f"upload-{name}-{size}-{theme}")

    sign_in(page, lea)
    page.goto(f"/submissions/{begun.pk}/clip/")
    wire = page.context.new_cdp_session(page)
    slow = {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": 1.5 * MB}
    wire.send("Network.enable")
    wire.send("Network.emulateNetworkConditions", slow)
    with page.watch.allowing("Failed to load resource"):
        choose(page, film)
        page.wait_for_function("() => document.querySelector('[data-send-bar]').value > 45")
        look("going")
        page.context.set_offline(True)
        page.get_by_text("Waiting for the connection").wait_for()
        look("waiting")
    page.close()
    page = open_page(viewport={"width": size, "height": 740}, color_scheme=theme)
    sign_in(page, lea)
    for name, url in (
        ("family", "/family/"), ("submission", f"/submissions/{begun.pk}/"), ("begun", f"/submissions/{begun.pk}/clip/"),
    ):  # fmt: skip
        page.goto(url)
        page.get_by_text(" %").first.wait_for()
        look(name)
    page.route("**/uploads/**", lambda route: None if route.request.method == "PATCH" else route.continue_())
    other = make_film(film.with_name("IMG_0143.MOV"), 2 * MB)
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose the same clip again").click()
    chooser.value.set_files(other)
    page.get_by_text("This is another clip").wait_for()
    look("other")
    page.close()
    begun.player.consents.update(taken_back_at="2026-11-01T00:00Z")
    page = open_page(viewport={"width": size, "height": 740}, color_scheme=theme)
    sign_in(page, lea)
    page.goto(f"/submissions/{begun.pk}/clip/")
    with page.watch.allowing("Failed to load resource"):
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name="Choose the same clip again").click()
        chooser.value.set_files(other)
        page.get_by_text("Consent was taken back, so we keep no clip.").wait_for()
    look("refused")

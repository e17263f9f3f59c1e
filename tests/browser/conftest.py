"""Fixtures for tests in a real Chromium.

`site` is the portal on an address of its own; `page_phone` (360 px, touch) and `page_desktop` (1280 px) are empty
pages; `open_page` makes more of them; `sign_in(page, user)` signs a user in; `axe(page)` fails on what axe-core finds;
`start_process(…)` runs a worker beside the site; `shot(page, name)` keeps a picture in tests/browser/shots/ when pytest
is run with `--shots`: a picture of a whole page takes longer than most of what is tested on it. Every page fails
its test when its console shows an error, a script breaks, or it asks a third party for anything.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import pytest

from tests.browser.chromium import HANGS_S, PATIENCE_S, Chromium, find_chromium
from tests.once import once

pytest.register_assert_rewrite("tests.browser.desk_pages")  # before a test module imports it

ROOT = Path(__file__).resolve().parent.parent.parent
AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"
SHOTS = Path(__file__).resolve().parent / "shots"
PICTURES = Path(__file__).resolve().parent / "pictures"
# Shots that README.md shows: their first screenful is kept with the project when `--pictures` is given.
SHOWN = {"way-3-desk": "desk.jpg", "way-5-evaluation": "evaluation.jpg"}
PHONE = {"viewport": {"width": 360, "height": 740}, "is_mobile": True, "has_touch": True, "device_scale_factor": 2}
DESKTOP = {"viewport": {"width": 1280, "height": 800}}
WCAG_22_AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

# A bar that stays at an edge of the window lies over whatever scrolls under it, so a button there is called too small: it is looked at
# again where a finger would bring it, in the middle.
LOOK = """async (options) => {
  const found = await axe.run(document, options);
  const stood = scrollY;
  const again = { runOnly: { type: "rule", values: ["target-size"] } };
  for (const violation of found.violations.filter((one) => one.id === "target-size")) {
    const small = [];
    for (const node of violation.nodes) {
      document.querySelector(node.target[0]).scrollIntoView({ block: "center", behavior: "instant" });
      if ((await axe.run({ include: [node.target] }, again)).violations.length) small.push(node);
    }
    violation.nodes = small;
  }
  scrollTo({ top: stood, behavior: "instant" });
  return { ...found, violations: found.violations.filter((one) => one.nodes.length) };
}"""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder drives a browser, so it carries the mark; `make test` gives it a second go (DEVELOPERS.md says why)."""
    for item in items:
        if Path(item.path).is_relative_to(Path(__file__).parent):
            item.add_marker(pytest.mark.browser)
            if item.config.getoption("--second-go"):
                item.add_marker(pytest.mark.flaky(reruns=1))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Chromium]:
    """One Chromium for the run. Without one the test is skipped, except in CI, where that is a failure."""
    program = find_chromium()
    if program is None:
        words = "no Chromium or Chrome is installed (Debian, Ubuntu: apt-get install chromium)"
        pytest.fail(words) if os.environ.get("CI") else pytest.skip(words)
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=1000 * PATIENCE_S)
    # Playwright's loop runs in this thread, and Django would take the tests' own queries for asynchronous ones.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    with sync_playwright() as playwright:
        one = Chromium(playwright, program)
        yield one
        one.close()


@pytest.fixture
def browser(chromium: Chromium, request: pytest.FixtureRequest) -> Iterator[Any]:
    """That Chromium, as Playwright has it. In `make test` a test that hangs in it loses it; by hand it may take its time."""
    running = chromium.running()
    with chromium.ended_after(HANGS_S) if request.config.getoption("--second-go") else nullcontext():
        yield running


HASHED = {"BACKEND": "portal.look.storage.UnpackedStorage"}


@pytest.fixture(scope="session")
def collected_static(django_db_setup: None) -> Path:
    """Collect the static files, hashed, where the portal's processes look for them: pages then load what production would. Once for a run.

    Only the compressed copies are left out, which take seconds to make and change nothing that a page sees.
    """
    from django.conf import settings
    from django.core.management import call_command
    from django.test import override_settings

    def make(folder: Path) -> None:
        with override_settings(STATIC_ROOT=folder, STORAGES={**settings.STORAGES, "staticfiles": HASHED}):
            call_command("collectstatic", interactive=False, verbosity=0)

    root: Path = settings.DATA_DIR / "static"
    shutil.copytree(once("static", "hashed", make), root, dirs_exist_ok=True)
    return root


@pytest.fixture
def site(transactional_db: None, collected_static: Path, settings: Any, tmp_path: Path) -> Iterator[str]:
    """The portal's address. Uploads of the test go to a folder of its own; links in mails lead to this address."""
    from django.core.cache import cache

    from tests.browser.site import Site

    settings.STATIC_ROOT = collected_static
    settings.STORAGES = {**settings.STORAGES, "staticfiles": HASHED}
    settings.MEDIA_ROOT = tmp_path / "media"
    settings.SECOND_FACTOR = False  # tests of the second step switch it on
    cache.clear()
    server = Site()
    settings.SITE_URL = server.url
    yield server.url
    server.stop()


@pytest.fixture
def open_page(browser: Any, site: str) -> Iterator[Callable[..., Any]]:
    """Open a page in a context (cookies, storage) of its own: open_page(**Playwright's context options).

    The page's complaints are in `page.watch`; none may be left at the end of the test.
    """
    from tests.browser.watch import Watch

    opened: list[Any] = []

    def open_one(**options: Any) -> Any:
        context = browser.new_context(base_url=site, locale="en-US", **options)
        context.set_default_timeout(1000 * PATIENCE_S)
        page = context.new_page()
        page.watch = Watch(page, site)
        opened.append(page)
        return page

    yield open_one
    complaints = [complaint for page in opened for complaint in page.watch.complaints]
    for page in opened:
        page.context.close()
    assert not complaints, "\n".join(complaints)


@pytest.fixture
def page_phone(open_page: Callable[..., Any]) -> Any:
    return open_page(**PHONE)


@pytest.fixture
def page_desktop(open_page: Callable[..., Any]) -> Any:
    return open_page(**DESKTOP)


@pytest.fixture
def sign_in(site: str) -> Callable[[Any, Any], None]:
    """sign_in(page, user): as after the sign-in page, without walking through it."""
    from django.conf import settings
    from django.test import Client

    def put_cookie(page: Any, user: Any) -> None:
        client = Client()
        client.force_login(user, backend=settings.AUTHENTICATION_BACKENDS[0])
        value = client.cookies[settings.SESSION_COOKIE_NAME].value
        page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": value, "url": site}])

    return put_cookie


@pytest.fixture
def axe() -> Callable[..., None]:
    """axe(page): fail with what axe-core finds against WCAG 2.2 A and AA and its own best practices."""

    def check(page: Any, *, leave_out: tuple[str, ...] = ()) -> None:
        page.evaluate(AXE.read_text())  # through the debugger, which a page's security policy does not bind
        rules = {name: {"enabled": False} for name in leave_out}
        # Naming every element that is in order takes longer than looking at it: one a rule is enough.
        options = {"runOnly": {"type": "tag", "values": WCAG_22_AA}, "rules": rules, "resultTypes": ["violations"]}
        found = page.evaluate(LOOK, options)
        assert found["passes"], "axe-core looked at nothing"
        assert not found["violations"], "\n".join(map(describe, found["violations"]))

    return check


def describe(violation: dict[str, Any]) -> str:
    """One finding of axe-core with the elements it is about and what it says of each."""
    heading = f"{violation['id']} ({violation['impact']}): {violation['help']}"
    nodes = [
        f"  {' '.join(map(str, node['target']))}: {node.get('failureSummary', '')}" for node in violation["nodes"][:5]
    ]
    return "\n".join([heading, *nodes])


@pytest.fixture
def shot(request: pytest.FixtureRequest) -> Callable[[Any, str], None]:
    """shot(page, name): a picture of the whole page in tests/browser/shots/, for people to look at, where they ask for it."""

    def take(page: Any, name: str) -> None:
        if request.config.getoption("--shots"):
            SHOTS.mkdir(exist_ok=True)
            page.screenshot(path=str(SHOTS / f"{name}.png"), full_page=True, animations="disabled")
        if name in SHOWN and request.config.getoption("--pictures"):
            page.evaluate("window.scrollTo(0, 0)")
            page.screenshot(path=str(PICTURES / SHOWN[name]), type="jpeg", quality=82, animations="disabled")

    return take


@pytest.fixture
def start_process(process_env: dict[str, str], site: str, tmp_path: Path, root: Path) -> Iterator[Callable[..., Any]]:
    """start_process("-m", "celery", …): a Python process of the portal beside the site, ended with the test.

    What it printed is in `process.log`.
    """
    import subprocess
    import sys

    from tests.servers import stop

    running: list[Any] = []

    def start(*words: str) -> Any:
        log = tmp_path / f"process-{len(running)}.log"
        environment = {**process_env, "SITE_URL": site}
        with log.open("wb") as out:
            command = [sys.executable, *words]
            process = subprocess.Popen(command, cwd=root, env=environment, stdout=out, stderr=out)
        process.log = log  # type: ignore[attr-defined]
        running.append(process)
        return process

    yield start
    for process in reversed(running):
        stop(process)

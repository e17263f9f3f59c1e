"""Does a page fit its window's width?"""

from __future__ import annotations

from typing import Any


def fits(page: Any) -> None:
    """Fail when the page scrolls sideways, naming what sticks out.

    Compared with the width that the window was opened with: on an emulated phone `innerWidth` grows along with whatever
    sticks out, so that a comparison with it always holds.
    """
    width = page.viewport_size["width"]
    if page.evaluate("document.documentElement.scrollWidth") <= width:
        return
    wide = page.evaluate(
        """(width) => {
          const sticksOut = (one) => one.getBoundingClientRect().right > width + 0.5;
          return [...document.body.querySelectorAll("*")]
          .filter((one) => sticksOut(one) && ![...one.children].some(sticksOut))
          .map((one) => one.outerHTML.slice(0, 90)).slice(0, 8);
        }""",
        width,
    )
    raise AssertionError(f"{page.url} scrolls sideways at {width} px:\n" + "\n".join(wide))

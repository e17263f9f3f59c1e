"""What keeps a drill safe: the usual cautions by how the ball comes, then the drill's own. Never medical advice."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _


def cautions(ball: str, own: Iterable[str] = ()) -> list[str]:
    """Every caution for a drill with this kind of ball (a key of `set_up.BALL`), the general ones first."""
    return [_clear_space(), *_by_ball(ball), *own, _stop()]


def _clear_space() -> str:
    return _("Look all around before every swing. Nobody stands closer than three big steps.")


def _by_ball(ball: str) -> list[str]:
    if ball == "none":
        return []
    if ball == "tee":
        return [_("Hit into a net or an empty field, with a grown-up near. Check first that net and tee are sound.")]
    return [
        _("Helmet on. Whoever tosses sits well to the side or behind a screen, and tosses only when you are ready."),
        _("Hit into a net or an empty field, with a grown-up near."),
    ]


def _stop() -> str:
    return _(
        "Stop if anything hurts, and tell a grown-up. The rules of your league and the word of your doctor come first."
    )

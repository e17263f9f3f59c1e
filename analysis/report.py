"""A result as text that a coach can read on a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from analysis.read import INSTANT_NAMES, VIEW_NAMES, Result, Swing, checkpoint

__all__ = ["report"]


def report(result: Result) -> str:
    """Return the whole result as lines of text."""
    lines = [*_film(result)]
    for swing in result.swings:
        lines.extend(["", *_swing(swing)])
    return "\n".join(lines)


def _film(result: Result) -> Iterator[str]:
    film, clip = result.film, result.clip
    rate = f"{film.fps:.1f} frames a second" if film.fps else "no known rate"
    yield f"{clip.get('name', 'clip')}: {clip['frames']} frames, {clip['duration_s']:.2f} s, {rate}"
    yield (
        f"Seen from {VIEW_NAMES.get(film.view, film.view)} ({film.view_confidence:.0%} sure), "
        f"{film.hand or 'unknown'}-handed ({film.hand_confidence:.0%} sure)"
    )
    if clip.get("cut_off"):
        yield "The end of this clip is missing; it was measured as far as it goes."
    if film.speed_suspect:
        yield "The film seems slowed down; times are not readable until its speed is settled."
    found = sum(swing.reaches_contact for swing in result.swings)
    yield f"Swings found: {found}" if result.swings else "No swing was found in this clip."
    for check in film.checks:
        if not check.ok:
            yield f"  film check: {check.words}"


def _swing(swing: Swing) -> Iterator[str]:
    ending = "" if swing.reaches_contact else ", does not reach contact"
    yield f"Swing {swing.index + 1} (frames {swing.start_frame} to {swing.end_frame}{ending})"
    for name, instant in swing.instants.items():
        if instant.time_s is None:
            yield f"  {INSTANT_NAMES[name]:<12} not known: {instant.reason}"
        else:
            low, high = instant.interval_s or (instant.time_s, instant.time_s)
            yield (
                f"  {INSTANT_NAMES[name]:<12} frame {instant.frame:>5}   {instant.time_s:8.3f} s "
                f"[{low:.3f}, {high:.3f}]  {instant.source}"
            )
    yield ""
    for reading in swing.readings:
        name = checkpoint(reading.checkpoint).name
        if reading.value is None or reading.interval is None:
            yield f"  {name:<30} {reading.call}: {reading.reason or ''}"
            continue
        low, high = reading.interval
        shown = f"{reading.value:.{_digits(reading.unit)}f} {reading.unit}"
        span = f"[{low:.{_digits(reading.unit)}f}, {high:.{_digits(reading.unit)}f}]"
        yield f"  {name:<30} {shown:<22} {span:<18} {reading.call}"


def _digits(unit: str) -> int:
    return 2 if unit.startswith("×") else 0

"""Plots of what was judged, as SVG. Told apart by marks as well as by colour (Okabe and Ito's, safe for the colour-blind)."""

from __future__ import annotations

from collections.abc import Sequence
from io import StringIO
from pathlib import Path

import matplotlib as mpl
import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from analysis.read import INSTANT_NAMES, INSTANTS, checkpoint
from analysis.validate import curve
from analysis.validate.agreement import limits_of_agreement, share_of
from analysis.validate.judged import GROUPS, Judged, Timed, Told
from analysis.validate.power import called_out, usual_halves
from analysis.validate.slim import slim
from analysis.validate.tables import IDS, by_view, room

__all__ = ["draw"]

COLOURS = {"side": "#0072B2", "between": "#009E73", "along": "#D55E00"}
MARKS = {"side": "o", "between": "s", "along": "^"}
# Where there are hundreds: marks that take few bytes.
SPOTS = {"side": "o", "between": "s", "along": "|"}
DOTS = {"side": "dots-circle", "between": "dots-square", "along": "dots-tick"}
GREY = "#555555"
# What is told apart by more than the view.
SERIES = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00")


def draw(judged: Judged, folder: Path) -> list[tuple[str, str]]:
    """Write the plots into a folder; gives file names and what each shows."""
    folder.mkdir(parents=True, exist_ok=True)
    # The same rows make the same file, whoever draws it and when.
    with mpl.rc_context({"svg.hashsalt": "validation", "font.size": 8, "svg.fonttype": "none"}):
        plots = _plots(judged)
        for name, (figure, _) in plots.items():
            drawn = StringIO()
            figure.savefig(drawn, format="svg", metadata={"Date": None})
            (folder / name).write_text(slim(drawn.getvalue()), encoding="utf-8")
    return [(name, words) for name, (_, words) in plots.items()]


def _plots(judged: Judged) -> dict[str, tuple[Figure, str]]:
    """By file name, each figure and what it shows."""
    known = [row for row in judged.told if row.read]
    return {
        "agreement.svg": (
            _agreement(known),
            "Error against the mean of value and truth; dashed: bias and 95 % limits, from the sides",
        ),
        "coverage.svg": (
            _coverage(known),
            "Share of 90 % intervals that hold the truth, with its 95 % confidence interval",
        ),
        "widths.svg": (
            _widths(known),
            "Width of the intervals as a share of the band (median; line: middle nine tenths)",
        ),
        "instants.svg": (_instants(judged.timed), "Share of instants found within so many frames"),
        "power.svg": (
            _power(known),
            "How often “out of range” is said when the truth lies so many half-widths beyond the band",
        ),
        "learning.svg": (
            _learning(),
            "What more clips bring to bodies in single frames (open: the network in use), and more swings to the instants",
        ),
    }


def _agreement(rows: Sequence[Told]) -> Figure:
    names = [name for name in IDS if any(row.name == name for row in rows)]
    columns = 4
    lines = max(-(-len(names) // columns), 1)
    figure = Figure(figsize=(11, 2.3 * lines), layout="constrained")
    for axes, name in zip(
        figure.subplots(lines, columns, squeeze=False).flat, [*names, *[None] * (lines * columns)], strict=False
    ):
        if name is None:
            axes.axis("off")
            continue
        for group in GROUPS:
            own = [row for row in rows if row.name == name and row.group == group]
            middle, off = [row.truth + row.error / 2 for row in own], [row.error for row in own]
            if own:
                dots = axes.plot(middle, off, SPOTS[group], color=COLOURS[group], ms=2.5, alpha=0.6, label=group)
                dots[0].set_gid(DOTS[group] if len(own) > 1 else None)
        side = [row.error for row in rows if row.name == name and row.group == "side"]
        for line in (*limits_of_agreement(side), float(np.mean(side)) if side else np.nan):
            axes.axhline(line, color=GREY, lw=0.8, ls="--")
        axes.set_title(f"{name}\n{checkpoint(name).unit}", fontsize=8)
    figure.legend(*figure.axes[0].get_legend_handles_labels(), loc="outside lower center", ncols=3)
    return figure


def _coverage(rows: Sequence[Told]) -> Figure:
    figure, axes, places = _by_checkpoint(rows)
    axes.axvspan(0.85, 0.95, color="#dddddd", lw=0)
    axes.axvline(0.9, color=GREY, lw=0.8)
    for (name, group), own in by_view(rows).items():
        share = share_of([row.held for row in own])
        place = places[name] + 0.25 * (GROUPS.index(group) - 1)
        axes.plot([share.low, share.high], [place, place], color=COLOURS[group], lw=1)
        axes.plot(share.share, place, MARKS[group], color=COLOURS[group], ms=4, label=group)
    axes.set_xlim(0, 1.02)
    return _with_legend(figure)


def _widths(rows: Sequence[Told]) -> Figure:
    figure, axes, places = _by_checkpoint(rows)
    axes.axvline(1.0, color=GREY, lw=0.8)
    for (name, group), own in by_view(rows).items():
        share = np.array([2.0 * row.half / room(row) for row in own])
        place = places[name] + 0.25 * (GROUPS.index(group) - 1)
        axes.plot(np.quantile(share, [0.05, 0.95]), [place, place], color=COLOURS[group], lw=1)
        axes.plot(np.median(share), place, MARKS[group], color=COLOURS[group], ms=4, label=group)
    axes.set_xlim(left=0)
    return _with_legend(figure)


def _instants(rows: Sequence[Timed]) -> Figure:
    figure = Figure(figsize=(11, 4.4), layout="constrained")
    for axes, name in zip(figure.subplots(2, 4, sharex=True, sharey=True).flat, [*INSTANTS, None], strict=True):
        if name is None:
            axes.axis("off")
            continue
        for group in GROUPS:
            own = [row for row in rows if row.name == name and row.group == group]
            if own:
                off = np.abs([np.inf if row.off is None else row.off for row in own])
                reach = np.arange(0, 10.25, 0.25)
                style = {"side": "-", "between": ":", "along": "--"}[group]
                axes.plot(reach, [(off <= r).mean() for r in reach], color=COLOURS[group], ls=style, label=group)
        axes.set_title(f"{INSTANT_NAMES[name]}, frames", fontsize=8)
        axes.axvline(1.0, color=GREY, lw=0.5)
    return _with_legend(figure)


def _power(rows: Sequence[Told]) -> Figure:
    figure = Figure(figsize=(6, 3.6), layout="constrained")
    axes = figure.subplots()
    sizes, usual = np.arange(-1.0, 3.01, 0.25), usual_halves(rows)
    for group in GROUPS:
        own = [row for row in rows if row.group == group]
        if own:
            axes.plot(
                sizes,
                [np.mean(called_out(own, size, usual)) for size in sizes],
                color=COLOURS[group],
                marker=MARKS[group],
                ms=3,
                label=group,
            )
    axes.axhline(0.8, color=GREY, lw=0.5)
    axes.axhline(0.05, color=GREY, lw=0.5)
    axes.axvline(0.0, color=GREY, lw=0.5)
    axes.set_xlabel("usual half-widths beyond the band's edge (below 0: within)")
    return _with_legend(figure)


def _learning() -> Figure:
    figure = Figure(figsize=(9, 3.4), layout="constrained")
    bodies, times = figure.subplots(1, 2)
    alike, used = curve.errors_by_clips()
    for name, colour, mark in zip(alike, SERIES, "os^Dv", strict=False):
        bodies.plot(*zip(*alike[name], strict=True), color=colour, marker=mark, ms=3, label=name)
        if name in used:
            bodies.plot(*used[name], color=colour, marker=mark, ms=5, mfc="none", ls="none")
    bodies.set_ylabel("mean absolute error, °")
    bodies.set_ylim(bottom=0.0)
    for (name, points), colour, mark in zip(curve.shares_by_swings().items(), SERIES, "os^D", strict=False):
        swings, shares = zip(*points, strict=True)
        times.plot(swings, [100.0 * share for share in shares], color=colour, marker=mark, ms=3, label=f"{name}")
    times.set_ylabel("%")
    times.set_ylim(0.0, 100.0)
    for axes, words in ((bodies, "clips fitted to"), (times, "swings fitted to")):
        axes.set_xscale("log", base=2)
        axes.set_xticks(sorted({float(x) for line in axes.lines for x in np.asarray(line.get_xdata())}), minor=False)
        axes.xaxis.set_major_formatter(lambda x, _: f"{x:,.0f}")
        axes.set_xlabel(words)
        axes.legend(fontsize=6, loc="lower left")
    return figure


def _by_checkpoint(rows: Sequence[Told]) -> tuple[Figure, Axes, dict[str, int]]:
    """A figure with a line for each checkpoint, in the order of the book, and where each line is."""
    names = [name for name in IDS if any(row.name == name for row in rows)]
    figure = Figure(figsize=(8, 0.6 + 0.28 * len(names)), layout="constrained")
    axes = figure.subplots()
    axes.set_yticks(range(len(names)), names)
    axes.invert_yaxis()
    axes.grid(axis="y", lw=0.3)
    return figure, axes, {name: place for place, name in enumerate(names)}


def _with_legend(figure: Figure) -> Figure:
    handles: dict[str, Artist] = {}
    for axes in figure.axes:
        marks, words = axes.get_legend_handles_labels()
        handles |= dict(zip(words, marks, strict=True))
    figure.legend(list(handles.values()), list(handles), loc="outside lower center", ncols=3)
    return figure

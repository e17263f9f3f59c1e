"""The page: words, tables and plots in one Markdown file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from analysis.read.lift import network
from analysis.read.versions import BOOK, METHOD
from analysis.validate import glance, tables
from analysis.validate.curve import curve, reach, reach_of_bat, reach_of_instants, times_curve
from analysis.validate.hands import by_hand, external
from analysis.validate.judged import Judged
from analysis.validate.limits import limits
from analysis.validate.real import four_cameras, four_cameras_limit, real_clips, repeats
from tests.real_clips.judged import kept

__all__ = ["page", "renewed"]

HEAD = """# How far readings can be trusted

Made by `python -m analysis.validate`; change nothing here by hand. Judged are {numbers} of `tests/lift/make.py`
({kinds}) of {people} people that nothing was fitted or calibrated to (`tests/lift/README.md`),
by method {method} and book {book} of `analysis/read`; the lift was fitted to {fitted} clips of others. Groups of fewer than {enough}
readings show where things stand, and claim nothing.

The clips are drawn and read by the pose network, one person each, filmed by a camera that stands still; those numbered 1001 to 2999
and from 4000 on also from aslant, of other tempos, and of what is no swing (takes, checks, bunts, throws and the like; from 1050000 on
forty other deeds, `tests/lift/deeds.py`).
In swings numbered from 200000 on front feet land on the toe, flat or on the heel; in the others all land nearly flat. From 300000 on
hitters have habits of their own: some tap the ground before they stride, rock, hold the hands or the bat elsewhere, lead with the hips,
meet the ball early or late, draw the rear foot after them, or let go with one hand. Swings are heard, the ball's crack at contact.
{seen}
"""
LOOKED = "The bat is looked for in these pictures, as in any film; no plate is told, but where it is said."
NOT_LOOKED = "The bat was not looked for, and no plate is told, but where it is said."
GLANCE = """## At a glance

Mean absolute errors against what is aimed at. *Every value*: however wide its interval, where the view and the picture show the parts.
*Of those read*: of the values that are told; the others are *not readable*, for their interval is wider than the band. **Bold**: the aim is
missed; then the interval says how far a value can be off, and “Where an aim is missed” what would help.
"""
REST = """Shares with their 95 % confidence intervals; of the checkpoints with at least 30 readings, the lowest and the highest share.
*Sound*: readings whose truth lies in the book's band.
"""
MORE_SEEN = """## With the bat and home plate in sight

The same clips, with the corners of a plate put into their tracks as a hand puts them (`tests/lift/seen.py`: 1.5 px off), and, where
the pictures were not looked through for the bat, its ends as far off as they are found elsewhere (a line in six of ten frames, 1.8° off):
without → with. What goes by the line to the pitcher has factors of its own where a plate shows it.
"""
LIMITS = """## Where an aim is missed

What is told is as sure as its interval says, and *not readable* where that is wider than the band. How near it could come was tried: with
keypoints that lie in the picture exactly where the joints are (of the bat its two ends), and with nearly all of the rest true as well,
that is keypoints and world landmarks a quarter as wrong as today (of the bat its depth, of the instants the bodies). Details stand under
“What better keypoints would bring”. Errors are means of single moments, from the sides.
"""
HANDS = """## By whose motion

The swings above by the hand that made their motion. All were drawn alike, of the same people; the other three hands wrote rules of their
own and had not seen the key poses, nor each other (`tests/lift/sequence_swing.py` from number 900000 on, `path_swing.py` from 950000 on,
`flail_swing.py` from 1000000 on). Swings of other people by all of them are among what the lift is fitted to and the intervals are
calibrated by. Reach, knees and shoulders: mean absolute errors of those read.
"""
EXTERNAL = """And 26 swings by a generator of its own: motion, camera, light and sound by somebody who had seen nothing of all this
(`tests/lift/external.py`). Nothing was fitted, calibrated or chosen by them: they show what to expect of hitters, and of a hand, that
are new.
"""
FEWER = """## Half as many frames a second

The same clips, of which every second frame is left out (each as sharp as it was): from all frames → from half of them.
"""
SWINGS = """## Swings

A clip is counted right when exactly the swings that reach contact are found. Readings and instants below are of clips in which the one
swing was found; what was missed shows here alone. *False*: swings with contact where there is none; *checked*: found as a checked swing.
"""
INSTANTS = """## Instants

Errors in frames of the clip, found minus true. *± frames*: half of the 90 % interval, median.
"""
READINGS = """## Readings

Errors are value minus truth, in the checkpoint's unit. *95 % limits*: bias ∓ 1.96 deviations (Bland and Altman 1986). *90 % held*: share of
intervals that hold the truth, with its exact binomial 95 % confidence interval (Clopper and Pearson 1934); *least of fifths*: the least
such share in a fifth of the readings, by their truth: for hitters of the kind it holds worst for. *Interval score*: width plus
20 times what lies outside, mean, less is better (Gneiting and Raftery 2007). *± width*: half of the 90 % interval, median; *of band*: the
whole of it as a share of the band (an open end reaches to the end of the reading strip). *Rank corr.*: Spearman's, of the errors' sizes
with the widths: above 0, what is said to be unsure is. *SD of truths*: how much hitters differ; *r*: Pearson's correlation of value and
truth. Where r is low, hitters differ by less than what the reading is off by: it can show a large fault, and does not put one sound hitter
before another.
"""
CALLS = """## Calls

By the book's own bands (level youth): what is called where the truth lies in its band, and where it lies outside by so many usual
half-widths of the interval (the median of a checkpoint from a group of views).
"""
SILENT = """From the sides, where the truth lies in its band:
"""
PLANTED = """### Planted faults

The band is laid anew for every reading, so that the truth lies 1, 2 or 3 usual half-widths beyond its edge, on its edge (0), or one
within it (−1), below and above the band in turn: how often “out of range” is said. Wanted: ≥ 80 % at +2, ≤ 5 % at 0 and −1. What was not
readable counts as not said, but for the last column.
"""
REAL = """## A real person before four cameras

Errors in degrees of what one view alone tells, against four calibrated cameras together (`tests/four_cameras/README.md`): a person
who walks up and balances on one leg; means over 100 frames. Aimed at: at most 10° from every camera,
which is missed wherever more stands. Cameras 1 and 4 are tilted sideways by 13° and 26°.
"""
REAL_LIMIT = """How near one camera could come was tried here, too: with keypoints that lie where the four cameras together
have them, and with world landmarks that are nearly true as well. The last row is how far three cameras without this one are from all
four: by so much, at least, is the reference itself unsure. What is left between hangs on what the lift has seen people do.
"""
CLIPS = """## Real clips

Clips of real people, labelled by eye, frame by frame, before anything was read of them (`tests/real_clips/`). They are **few**: one hitter
with two swings, and films of two or three people in which nobody holds a bat. They show how it goes, and no share. *By eye*: the frame,
and how sure the eye was. *Holds*: the 90 % interval touches what the eye took for possible. *Checked*: a swing found that never reaches
contact. *Slowed, said*: how many times the film was slowed down, and what is said of it. Read by method {method}.
"""
REPEATS = """## The same film, sent in another way

Each film as it is, packed anew, scaled, cropped, mirrored and started later (`python -m tests.repeats`), with the readings of the
day on which that was run. Aimed at: within 1° and 1 %, instants on the same frame, which is missed wherever more stands. SD: deviation of a
reading over the ways. *Not always readable*, *call changes*: readings of which that is so.
"""

CURVE = "## What more people bring"
REACH = "## What better keypoints would bring"


def _courses(facts: Mapping[str, Any]) -> str:
    """How many clips the lift was fitted to, course by course; courses that were blended stand once for each such number."""
    clips: list[str] = []
    course = facts
    while course:
        blended = course.get("blended with")
        own = [each.get("clips", "?") for each in blended] if isinstance(blended, list) else [course.get("clips", "?")]
        clips = [*dict.fromkeys(map(str, own)), *clips]
        course = course.get("going on from") or {}
    return ", then ".join(clips)


def page(
    judged: Judged,
    halved: Judged,
    more_seen: Judged,
    about: tuple[int, str, bool],
    plots: list[tuple[str, str]],
    folder: str,
) -> str:
    """The whole page.

    judged, halved  rows of all frames, and of every second one; more_seen  with the bat and home plate in sight;
    about  how many hitters were judged, which clips, and whether they were looked through for the bat;
    plots as `plots.draw` gives them, lying in a folder beside the page
    """
    shown = {name: f"![{words}]({folder}/{name})\n\n*{words}.*" for name, words in plots}
    parts = [
        HEAD.format(
            numbers=about[1],
            kinds=tables.kinds(judged.counted),
            people=about[0],
            method=METHOD,
            book=BOOK,
            fitted=_courses(network().facts),
            enough=tables.ENOUGH,
            seen=LOOKED if about[2] else NOT_LOOKED,
        ),
        GLANCE, glance.errors(judged.told, more_seen.told), REST, glance.rest(judged),
        LIMITS, limits(),
        SWINGS, tables.counts(judged.counted),
        INSTANTS, tables.instants(judged.timed), shown["instants.svg"],
        READINGS, tables.readings(judged.told), shown["coverage.svg"], shown["widths.svg"], shown["agreement.svg"],
        MORE_SEEN, tables.more_seen(judged.told, more_seen.told),
        FEWER, tables.fewer_frames(judged.told, halved.told), tables.instants(halved.timed), tables.counts(halved.counted),
        CALLS, tables.calls(judged.told), SILENT, tables.silent_from_the_side(judged.told),
        PLANTED, shown["power.svg"], tables.planted(judged.told),
        HANDS, by_hand(judged), EXTERNAL, external(),
        *_of_real_people(),
    ]  # fmt: skip
    learned = [part for each in (curve(), times_curve()) if each for part in each]
    if learned:
        parts += [CURVE, shown["learning.svg"], *learned]
    better = [part for each in (reach(), reach_of_instants(), reach_of_bat()) if each for part in each]
    if better:
        parts += [REACH, *better]
    again = repeats()
    if again:
        parts += [REPEATS, again]
    return _joined(parts)


def renewed(text: str) -> str:
    """The page with the sections that need no judged clips written anew: real people before cameras, and real clips."""
    before, *rest = _sections(text)
    fresh = {_head(section): section for section in _sections(_joined(["", *_of_real_people()]))[1:]}
    old = {_head(section) for section in rest}
    sections = []
    for section in rest:
        sections.append(fresh.get(_head(section), section))
        if _head(section) == _head(REAL):  # a section that the page did not have yet comes behind this one
            sections += [section for head, section in fresh.items() if head not in old]
    return _joined([before, *sections])


def _of_real_people() -> list[str]:
    method = " and ".join(sorted({str(seen.method) for seen in kept().values()}))
    return [REAL, four_cameras(), REAL_LIMIT, four_cameras_limit(), CLIPS.format(method=method), *real_clips()]


def _sections(text: str) -> list[str]:
    return [section.strip("\n") for section in re.split(r"(?m)^(?=## )", text)]


def _head(section: str) -> str:
    return section.strip("\n").splitlines()[0]


def _joined(parts: list[str]) -> str:
    return "\n\n".join(part.strip("\n") for part in parts) + "\n"

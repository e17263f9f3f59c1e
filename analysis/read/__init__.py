"""Tracks, corrections and the checkpoint book become instants and readings. NumPy and SciPy only.

    from analysis.read import read
    from analysis.tracks import load

    read(load("oak.tracks.npz"), corrections={"hand": "left"}, level="youth").to_json()

The modules in here write `scipy.linalg.cholesky`, never `from scipy.linalg import …`: so a part of SciPy is loaded by the first
reading. Every process of the site loads this package for the checkpoints, and few of them ever read. Who will read soon calls
`preload.preload_scipy` ahead.
"""

from __future__ import annotations

from analysis.read.book import CHECKPOINTS, Checkpoint, band_for, checkpoint, checkpoints_at
from analysis.read.corrections import CorrectionError
from analysis.read.reader import read
from analysis.read.result import Film, Instant, Reading, Result, Swing
from analysis.read.terms import HANDS, INSTANT_NAMES, INSTANTS, LEVELS, VIEW_NAMES, VIEWS
from analysis.read.versions import BOOK, METHOD

__all__ = [
    "BOOK",
    "CHECKPOINTS",
    "HANDS",
    "INSTANTS",
    "INSTANT_NAMES",
    "LEVELS",
    "METHOD",
    "VIEWS",
    "VIEW_NAMES",
    "Checkpoint",
    "CorrectionError",
    "Film",
    "Instant",
    "Reading",
    "Result",
    "Swing",
    "band_for",
    "checkpoint",
    "checkpoints_at",
    "read",
]

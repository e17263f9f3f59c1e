"""A zoo of hostile and odd files: about two hundred kinds, made by ffmpeg, PyAV and by changing bytes.

    python -m tests.films.zoo FOLDER [NAME …]      make them, measure each with the whole command, and tell how it went

`first_steps.py` opens and decodes them without the search for a hitter, which takes most of the time.
"""

from __future__ import annotations

from . import bombs, broken_boxes, broken_matroska, false_times, junk, odd_films
from .kinds import KINDS, OK, Kind

__all__ = ["KINDS", "OK", "Kind", "bombs", "broken_boxes", "broken_matroska", "false_times", "junk", "odd_films"]

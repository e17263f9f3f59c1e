"""Print half of the usual interval of each checkpoint on the committed tracks, for portal/measuring/resolving.py:

python -m tests.portal.measuring.usual_errors
"""

from __future__ import annotations

from pathlib import Path
from statistics import median

from analysis.read import CHECKPOINTS, read
from analysis.tracks import load

DATA = Path(__file__).parents[2] / "analysis" / "read" / "data"


def main() -> None:
    halves: dict[str, list[float]] = {}
    for path in sorted(DATA.glob("*.tracks.npz")):
        for swing in read(load(path)).swings:
            for reading in swing.readings:
                if reading.interval:
                    low, high = reading.interval
                    halves.setdefault(reading.checkpoint, []).append((high - low) / 2)
    for entry in CHECKPOINTS:
        if entry.id in halves:
            print(f"{entry.id}: {median(halves[entry.id]):.2g} {entry.unit}")


if __name__ == "__main__":
    main()

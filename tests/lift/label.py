"""When the instants of drawn swings are, for clips to fit to: their movers say it, without drawing them again.

    python -m tests.lift.label FIRST LAST --out FILE [--use fit|later] [--processes N]

Writes JSON: for the number of each swing, the seven instants in seconds of the mover's time.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
from functools import partial
from pathlib import Path

from .clips import clip
from .movers import Swing
from .people import FITTING
from .truths import instants_by_mover


def _of(number: int, use: str) -> tuple[int, dict[str, float] | None]:
    wish = clip(number, use)
    return number, instants_by_mover(wish.mover) if isinstance(wish.mover, Swing) else None


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Instants of swings to fit to.")
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--use", choices=FITTING, default="fit")
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    with multiprocessing.get_context("spawn").Pool(wish.processes) as pool:
        found = pool.imap_unordered(partial(_of, use=wish.use), range(wish.first, wish.last + 1), chunksize=4)
        kept = {number: instants for number, instants in found if instants is not None}
    wish.out.write_text(json.dumps(dict(sorted(kept.items())), indent=0) + "\n")
    print(f"{len(kept)} swings")


if __name__ == "__main__":
    main()

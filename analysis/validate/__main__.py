"""Write the page anew.

python -m analysis.validate [--data FOLDER] [--out FILE] [--processes N]
python -m analysis.validate --real [--out FILE]
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
from pathlib import Path

from analysis.validate.clips import SAMPLE, about, files_of, judge_all
from analysis.validate.page import page, renewed
from analysis.validate.plots import draw

PAGE = Path(__file__).parents[1] / "VALIDATION.md"


def main() -> int:
    """Command line."""
    parser = argparse.ArgumentParser(
        prog="python -m analysis.validate", description="Say how far readings can be trusted."
    )
    parser.add_argument("--data", type=Path, default=SAMPLE, help="folder of judge-*.npz; the committed sample without")
    parser.add_argument("--out", type=Path, default=PAGE, help="the page; its plots go into a folder beside it")
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    parser.add_argument("--real", action="store_true", help="only the sections of real people, in the page as it is")
    wish = parser.parse_args()
    if wish.real:
        wish.out.write_text(renewed(wish.out.read_text(encoding="utf-8")), encoding="utf-8")
        return 0
    files = files_of(wish.data)
    if not files:
        print(f"There are no judge-*.npz in {wish.data}.", file=sys.stderr)
        return 2
    judged, halved = (judge_all(files, wish.processes, every) for every in (1, 2))
    more_seen = judge_all(files, wish.processes, more_seen=True)
    plots = draw(judged, wish.out.with_suffix(""))
    wish.out.write_text(page(judged, halved, more_seen, about(files), plots, wish.out.stem), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())

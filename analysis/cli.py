"""The command line: measure a clip, or read tracks again.

Exit status 0 when measured, 1 when the clip can't be measured (one sentence on stderr), 2 for wrong usage.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import Any

from analysis.progress import JsonProgress, LineProgress, Reporter
from analysis.read import INSTANTS, CorrectionError, Result, read
from analysis.report import report
from analysis.tracks import Tracks, TracksError, load

__all__ = ["main"]

MEASURED, NOT_MEASURED, WRONG_USAGE = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit status."""
    chosen = _parser().parse_args(arguments)
    return int(chosen.run(chosen))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m analysis", description="Measure a swing on film.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    measure = commands.add_parser("measure", help="watch a clip and read it")
    measure.set_defaults(run=_measure)
    measure.add_argument("clip", type=Path, metavar="CLIP")
    measure.add_argument("--json", type=Path, metavar="FILE", help="write the result as JSON")
    measure.add_argument("--tracks", type=Path, metavar="FILE", help="keep the tracks (.tracks.npz)")
    measure.add_argument(
        "--still",
        nargs=2,
        action="append",
        default=[],
        metavar=("INSTANT", "FILE.png"),
        help=f"draw skeleton and readings on the frame of an instant: {', '.join(INSTANTS)}",
    )
    measure.add_argument("--products", type=Path, metavar="DIR", help="write the files a browser shows")
    measure.add_argument(
        "--model", choices=("heavy", "full", "lite"), default="heavy", help="pose network for the swing"
    )
    measure.add_argument("--progress-json", action="store_true", help="progress and failure as JSON lines on stdout")
    _common(measure)
    again = commands.add_parser("read", help="read tracks again, without the clip")
    again.set_defaults(run=_read)
    again.add_argument("tracks", type=Path, metavar="TRACKS")
    again.add_argument("--json", type=Path, metavar="FILE", help="write the result as JSON")
    _common(again)
    return parser


def _common(command: argparse.ArgumentParser) -> None:
    command.add_argument("--corrections", type=Path, metavar="FILE", help="corrections by hand, as JSON")
    command.add_argument("--level", choices=("child", "youth", "adult"), default="youth", help="whose bands to call by")


def _measure(chosen: argparse.Namespace) -> int:
    reporter: Reporter = JsonProgress() if chosen.progress_json else LineProgress()
    for instant, _ in chosen.still:
        if instant not in INSTANTS:
            print(f"There is no instant {instant!r}; choose one of {', '.join(INSTANTS)}.", file=sys.stderr)
            return WRONG_USAGE
    try:
        corrections = _corrections(chosen.corrections)
    except _WrongUsageError as error:
        print(error, file=sys.stderr)
        return WRONG_USAGE
    # Imported here: reading tracks again must not need what watching needs.
    from analysis.watch.errors import ClipError
    from analysis.watch.memory import share_arenas
    from analysis.watch.models import ModelError
    from analysis.watch.products import Products
    from analysis.watch.run import watch_clip

    share_arenas()
    try:
        with Products(chosen.clip, chosen.products) if chosen.products else nullcontext() as products:
            tracks = watch_clip(chosen.clip, reporter, chosen.model, products.add if products else None)
            result = _result(tracks, corrections, chosen, reporter)
            if products:
                products.finish(tracks, result.to_json(), reporter)
        if chosen.still:
            _draw_stills(chosen, tracks, result)
    except ClipError as error:
        reporter.fail(error.code, error.words)
        return NOT_MEASURED
    except (ModelError, CorrectionError, OSError) as error:
        reporter.fail("not_set_up" if isinstance(error, ModelError) else "not_written", str(error))
        return NOT_MEASURED
    reporter.finish()
    if not chosen.progress_json:
        print(report(result))
    return MEASURED


def _result(tracks: Tracks, corrections: Any, chosen: argparse.Namespace, reporter: Reporter) -> Result:
    reporter("reading", 0, 1)
    if chosen.tracks:
        tracks.save(chosen.tracks)
    result = read(tracks, corrections, level=chosen.level)
    if chosen.json:
        _write_json(chosen.json, result)
    reporter("reading", 1, 1)
    return result


def _draw_stills(chosen: argparse.Namespace, tracks: Tracks, result: Result) -> None:
    from analysis.watch.drawing import draw_stills

    draw_stills(chosen.clip, tracks, result, [(instant, Path(file)) for instant, file in chosen.still])


def _read(chosen: argparse.Namespace) -> int:
    try:
        corrections = _corrections(chosen.corrections)
        tracks = load(chosen.tracks)
        result = read(tracks, corrections, level=chosen.level)
    except _WrongUsageError as error:
        print(error, file=sys.stderr)
        return WRONG_USAGE
    except (TracksError, CorrectionError, OSError) as error:
        print(error, file=sys.stderr)
        return NOT_MEASURED
    if chosen.json:
        _write_json(chosen.json, result)
    print(report(result))
    return MEASURED


class _WrongUsageError(Exception):
    """The command line names something that can't be used."""


def _corrections(path: Path | None) -> Any:
    if path is None:
        return None
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise _WrongUsageError(f"The corrections {path} can't be read: {error}") from error


def _write_json(path: Path, result: Result) -> None:
    text = json.dumps(result.to_json(), allow_nan=False, ensure_ascii=False, indent=1)
    unfinished = path.with_name(path.name + ".part")
    unfinished.write_text(text + "\n", encoding="utf-8")
    unfinished.replace(path)

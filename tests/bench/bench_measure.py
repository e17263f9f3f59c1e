"""Time and memory of measuring a clip, beside the plain way in the same run, each in a process of its own."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from analysis.watch.container import read_header

ROOT = Path(__file__).resolve().parents[2]
FILMS = ROOT / "tests" / "films" / "out"
MEMORY_GOAL_MB, MEMORY_GOAL_4K_MB = 400, 450


@dataclass(frozen=True)
class Cost:
    """What a process took: wall and CPU seconds, and its peak memory in MB."""

    wall_s: float
    cpu_s: float
    peak_mb: float


def cost_of(arguments: Sequence[str]) -> Cost:
    """Run Python with `arguments` to its end; RuntimeError when it fails."""
    start = time.perf_counter()
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen([sys.executable, *arguments], cwd=ROOT, stdout=said, stderr=said)
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            said.seek(0)
            raise RuntimeError(f"{' '.join(arguments)} failed:\n{said.read().decode(errors='replace')}")
    wall = time.perf_counter() - start
    return Cost(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)  # Linux counts in kB


def main(arguments: Sequence[str]) -> int:
    """Bench the given clip, or the first rendered film, and its memory at 4K, too; print a small table."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("clip", nargs="?", type=Path, default=next(iter(sorted(FILMS.glob("[!.]*.mp4"))), None))
    clip = parser.parse_args(arguments).clip
    if clip is None:
        print("No rendered film lies in tests/films/out; name a clip.", file=sys.stderr)
        return 2
    seconds = read_header(clip).duration_s or 1.0
    with tempfile.TemporaryDirectory() as folder:
        ways = {
            "measured": ["-m", "analysis", "measure", str(clip)],
            "with the browser's files": ["-m", "analysis", "measure", str(clip), "--products", folder],
            "plain way": ["-m", "tests.bench.plain", str(clip)],
        }
        costs = {name: cost_of(way) for name, way in ways.items()}
        large = Path(folder) / "large.mp4"
        cost_of(["-m", "tests.bench.large", str(clip), str(large)])
        costs["measured at 4K, 10 bits"] = cost_of(["-m", "analysis", "measure", str(large)])
    print(f"{clip.name}: {seconds:.2f} s of film, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    print(f"{'':<26}{'s per s of clip':>17}{'CPU s per s':>14}{'peak memory':>14}")
    for name, cost in costs.items():
        print(f"{name:<26}{cost.wall_s / seconds:>17.1f}{cost.cpu_s / seconds:>14.1f}{cost.peak_mb:>11.0f} MB")
    measured, plain = costs["measured"], costs["plain way"]
    print(
        f"ratio to the plain way: {measured.wall_s / plain.wall_s:.2f} (wall), {measured.cpu_s / plain.cpu_s:.2f} (CPU)"
    )
    memory = [
        ("as it is", max(measured.peak_mb, costs["with the browser's files"].peak_mb), MEMORY_GOAL_MB),
        ("at 4K", costs["measured at 4K, 10 bits"].peak_mb, MEMORY_GOAL_4K_MB),
    ]
    for words, peak, goal in memory:
        print(f"{f'memory {words}':<26}{peak:>8.0f} MB   (goal {goal} MB)")
    return 0 if all(peak <= goal for _, peak, goal in memory) else 1

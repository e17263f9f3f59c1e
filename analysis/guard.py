"""Measure in a child and watch over it: a hostile clip may take the child down, never the answer or the machine.

`python -m analysis measure …` starts `python -m analysis.guard PARENT measure …` and passes its output through. A child
that takes more memory than any film needs is ended and refused in words; so is one that a broken file makes crash.
Kept light: this process loads neither NumPy nor a decoder.
"""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from analysis.progress import JsonProgress, LineProgress, Reporter
from analysis.watch.errors import ClipError, crashed, too_heavy

NOT_MEASURED = 1
# Bytes of memory of its own, without the 90 MB of libraries on disk: below 1 GB in all. A film needs about 220 MB, one of 4K
# up to 360; before passes gave back what they left behind, 800 were seen on a machine that was very busy.
MAX_RESIDENT = 850 * 1024**2
LOOK_EVERY_S = 0.02
PR_SET_PDEATHSIG = 1  # linux/prctl.h
CRASHES = {signal.SIGSEGV, signal.SIGBUS, signal.SIGABRT, signal.SIGFPE, signal.SIGILL}


def measure_guarded(arguments: Sequence[str]) -> int:
    """Run the command line `arguments` in a watched child; return its exit status, 1 where it had to be ended."""
    command = [sys.executable, "-m", "analysis.guard", str(os.getpid()), *arguments]
    child = subprocess.Popen(command)
    try:
        heavy = _watch(child)
        status = child.wait()
    except KeyboardInterrupt:
        return 128 + signal.SIGINT
    finally:
        child.kill()
        child.wait()
    if heavy:
        return _refuse(arguments, too_heavy())
    if -status in CRASHES:
        return _refuse(arguments, crashed())
    return status if status >= 0 else 128 - status


def resident(process: int) -> int:
    """Return the bytes of memory that a process holds for itself alone; 0 where that can't be seen (it has ended, or this is
    no Linux). Pages of files, which the system takes back when it wants, do not count.
    """
    with suppress(OSError, ValueError, IndexError):
        held, shared = (int(word) for word in Path(f"/proc/{process}/statm").read_text().split()[1:3])
        return (held - shared) * os.sysconf("SC_PAGE_SIZE")
    return 0


def _watch(child: subprocess.Popen[bytes]) -> bool:
    """Wait until the child ends; end it when it grows too large, and say so."""
    while child.poll() is None:
        if resident(child.pid) > MAX_RESIDENT:
            child.kill()
            return True
        time.sleep(LOOK_EVERY_S)
    return False


def _refuse(arguments: Sequence[str], error: ClipError) -> int:
    reporter: Reporter = JsonProgress() if "--progress-json" in arguments else LineProgress()
    reporter.fail(error.code, error.words)
    return NOT_MEASURED


def _die_with(parent: int) -> None:
    """End when the watching process ends, however that comes."""
    if sys.platform.startswith("linux"):
        ctypes.CDLL(None, use_errno=True).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.getppid() != parent:  # it went before we could ask to be told
        sys.exit(NOT_MEASURED)


def main() -> int:
    """Be the watched child: `python -m analysis.guard PARENT measure …`."""
    _die_with(int(sys.argv[1]))
    from analysis.cli import main as run

    return run(sys.argv[2:])


if __name__ == "__main__":
    sys.exit(main())

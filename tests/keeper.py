"""Ends a run's servers when the run is gone, however it went: `python -m tests.keeper HOME REDIS_PID`, held by a pipe.

The test run keeps the pipe's other end open and never writes. The end of the pipe is the end of the run, also when it was
killed without a chance to tidy up.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
from contextlib import suppress
from pathlib import Path

from tests import servers


def main(home: Path, redis_pid: int) -> None:
    """Wait for the end of standard input, then stop both servers and remove the run's folder."""
    for name in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(name, signal.SIG_IGN)  # meant for the run; its end is what counts here
    sys.stdin.buffer.read()
    with suppress(ProcessLookupError):
        os.kill(redis_pid, signal.SIGTERM)
    servers.stop_postgres(home)
    shutil.rmtree(home, ignore_errors=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))

"""Start a program fenced in: `launch.py PARENT MEMORY_BYTES CPU_SECONDS FILE_BYTES NICENESS PROGRAM ARGUMENT…`.

A script of its own, run by a bare interpreter before the program takes its place: it knows no settings and no secrets.
The program gets caps on memory, time and file size (0 = none), a low claim on the CPU, and dies with the process that
started it (Linux; elsewhere it ends at its next line of progress, when nobody reads it any more).
"""

import contextlib
import ctypes
import os
import resource
import signal
import sys

PR_SET_PDEATHSIG = 1  # linux/prctl.h


def die_with_parent(parent: int) -> None:
    if sys.platform.startswith("linux"):
        ctypes.CDLL(None, use_errno=True).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.getppid() != parent:  # it went before we could ask to be told
        os._exit(1)


def cap(limit: int, value: int) -> None:
    """Lower one limit, never beyond what we are allowed ourselves. Some systems refuse some limits: then go without."""
    if not value:
        return
    hard = resource.getrlimit(limit)[1]
    allowed = value if hard == resource.RLIM_INFINITY else min(value, hard)
    with contextlib.suppress(ValueError, OSError):
        resource.setrlimit(limit, (allowed, allowed))


def main() -> None:
    parent, memory, cpu, file_size, niceness = (int(text) for text in sys.argv[1:6])
    die_with_parent(parent)
    cap(resource.RLIMIT_AS, memory)
    cap(resource.RLIMIT_CPU, cpu)
    cap(resource.RLIMIT_FSIZE, file_size)
    cap(resource.RLIMIT_CORE, 0)
    os.nice(niceness)
    os.execvp(sys.argv[6], sys.argv[6:])


if __name__ == "__main__":
    main()

"""Open each file named on the command line as measuring does, in a process of its own, and tell how that went.

A line of JSON for each: how it ended (`ok` or the code of the refusal), the words, seconds, the most memory held (MB), and
the trace of what should not have happened. What is imported is imported once; each file then gets a fork.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
import time
import traceback
from pathlib import Path
from typing import Any

import numpy as np

from analysis.watch import sound
from analysis.watch.container import read_header
from analysis.watch.decode import frames
from analysis.watch.errors import ClipError
from analysis.watch.facts import clip_facts

PATIENCE_S = 120


def take(path: Path) -> dict[str, Any]:
    """Do what comes before the search for a hitter, and the listening."""
    header = read_header(path)
    times, size, turns, origin_s, mended = [], (0, 0), 0, 0.0, 0
    for frame in frames(path):
        times.append(frame.time_s)
        size, turns, origin_s, mended = frame.size, frame.quarter_turns, frame.origin_s, frame.mended
        picture = frame.rgb(min(1.0, 320 / max(size)))
        assert picture.flags.c_contiguous
        assert frame.gray(0.5).ndim == 2
    facts = clip_facts(path, header, size, turns, np.array(times), mended)
    heard = sound.listen(path, origin_s, times[-1]) if header.has_sound else sound.SILENCE
    json.dumps(facts, allow_nan=False, ensure_ascii=False).encode()
    return {"facts": facts, "sound_s": [float(heard.time_s[0]), float(heard.time_s[-1])] if len(heard.time_s) else []}


def _told(path: Path) -> dict[str, Any]:
    start = time.monotonic()
    try:
        told = {"end": "ok", "words": "", **take(path)}
    except ClipError as error:
        told = {"end": error.code, "words": error.words}
    except BaseException:
        told = {"end": "traceback", "words": traceback.format_exc()}
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return told | {"seconds": round(time.monotonic() - start, 2), "most_mb": most // 1024}


def _in_a_fork(path: Path) -> dict[str, Any]:
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        signal.alarm(PATIENCE_S)
        with os.fdopen(writing, "w") as out:
            json.dump(_told(path), out)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as held:
        text = held.read()
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return json.loads(text) if text else {"end": f"signal {-status}", "words": "", "seconds": 0, "most_mb": 0}


if __name__ == "__main__":
    for line in sys.stdin:
        print(json.dumps(_in_a_fork(Path(json.loads(line)))), flush=True)

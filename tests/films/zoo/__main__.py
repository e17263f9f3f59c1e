"""Make the zoo and measure it: `python -m tests.films.zoo FOLDER [NAME …]`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

from . import KINDS, Kind

MEMORY_BYTES = 8192 * 2**20  # the address space that the portal gives
LAUNCH = Path(__file__).parents[3] / "portal" / "measuring" / "launch.py"


def measure(path: Path) -> dict[str, object]:
    """Run the whole command as the portal does, and tell how it ended."""
    start = time.monotonic()
    limits = [str(os.getpid()), str(MEMORY_BYTES), "600", str(2**31), "10"]
    command = [sys.executable, "-I", str(LAUNCH), *limits, sys.executable, "-m", "analysis", "measure", str(path)]
    with subprocess.Popen([*command, "--progress-json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as child:
        out, err = child.communicate()
    lines = [json.loads(line) for line in out.splitlines() if line.startswith(b'{"error')]
    return {
        "status": child.returncode,
        "end": lines[-1]["error"]["code"] if lines else "measured",
        "words": lines[-1]["error"]["words"] if lines else "",
        "seconds": round(time.monotonic() - start, 1),
        "trace": err.decode(errors="replace")[-600:] if b"Traceback" in err else "",
    }


def _watched(kind: Kind, path: Path) -> dict[str, object]:
    """As `measure`, in a fork, so that the most memory held is that of this one."""
    command = [sys.executable, "-c", _ALONE, json.dumps(os.fspath(path))]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return json.loads(done.stdout) | {"kind": kind.name}


_ALONE = """
import json, resource, sys
from pathlib import Path
from tests.films.zoo.__main__ import measure
told = measure(Path(json.loads(sys.argv[1])))
told["most_mb"] = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
print(json.dumps(told))
"""


def main() -> None:
    folder = Path(sys.argv[1])
    for kind in KINDS.values():
        if sys.argv[2:] and not any(word in kind.name for word in sys.argv[2:]):
            continue
        place = folder / kind.name.replace(" ", "_")
        place.mkdir(parents=True, exist_ok=True)
        print(json.dumps(_watched(kind, kind.make(place))), flush=True)


if __name__ == "__main__":
    main()

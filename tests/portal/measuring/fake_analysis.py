"""Stands in for `python -m analysis` where a test is about the worker around it: same arguments, same progress.

CAGENOTE_FAKE names a folder. `products/` and `tracks.npz` in it are what it "makes"; `runs` gets a line per run. A file
`halt-STAGE` makes the next run stand still at that stage (and takes the file away); `end` holds a way to end
(`refuse`, `crash`, `noise`, `ours` with the code in `code`) that stays.
"""

import json
import os
import shutil
import sys
import time
from pathlib import Path

STAGES = ("opening", "finding", "watching", "reading", "copying")


def tell(**line: object) -> None:
    print(json.dumps(line), flush=True)


def main() -> int:
    home, arguments = Path(os.environ["CAGENOTE_FAKE"]), sys.argv[1:]
    assert arguments[0] == "measure"
    assert Path(arguments[1]).is_file()
    after = {flag: Path(arguments[arguments.index(flag) + 1]) for flag in ("--products", "--tracks", "--json")}
    with (home / "runs").open("a") as runs:
        runs.write(f"{os.getpid()}\n")
    end = (home / "end").read_text() if (home / "end").exists() else ""
    for stage in STAGES:
        for done in range(3):
            tell(stage=stage, done=done, total=3)
            halt(home, stage)
        if stage == "watching" and end:
            return END[end]()
    shutil.copytree(home / "products", after["--products"], dirs_exist_ok=True)
    shutil.copy(home / "tracks.npz", after["--tracks"])
    after["--json"].write_text("{}")
    return 0


def halt(home: Path, stage: str) -> None:
    mark = home / f"halt-{stage}"
    if mark.exists():
        mark.unlink()
        (home / "halted").write_text(str(os.getpid()))
        time.sleep(600)


def refuse() -> int:
    tell(
        error={"code": "nobody", "words": "We could not find a hitter in this clip. Film from the side, head to feet."}
    )
    print("We could not find a hitter in this clip.", file=sys.stderr)
    return 1


def crash() -> int:
    print("Traceback: something of ours broke", file=sys.stderr)
    os.abort()


def ours() -> int:
    code = (Path(os.environ["CAGENOTE_FAKE"]) / "code").read_text()
    tell(error={"code": code, "words": "The disk is full."})
    return 1


def full() -> int:
    print("OSError: [Errno 28] No space left on device: 'review.mp4'", file=sys.stderr)
    return 1


def noise() -> int:
    sys.stdout.write("no json at all\n[1, 2]\n" + "x" * 300_000 + "\n")
    return 1


def print_environment() -> int:
    tell(error={"code": "env", "words": " ".join(sorted(os.environ)) + f" nice={os.nice(0)}"})
    return 1


END = {
    "refuse": refuse,
    "crash": crash,
    "noise": noise,
    "ours": ours,
    "full": full,
    "environment": print_environment,
}

if __name__ == "__main__":
    sys.exit(main())

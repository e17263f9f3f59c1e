"""Brings a fresh machine to where `make demo` or `make test` can run. A step whose inputs are unchanged is skipped.

Usage: python3 setup/prepare.py demo|test     (standard library only: nothing is installed when this starts)
"""

from __future__ import annotations

import sys
from pathlib import Path

import environment
import models
import node
import system
from steps import Stamps, Trouble

ROOT = Path(__file__).resolve().parent.parent


def prepare(target: str, root: Path = ROOT) -> None:
    """Run all steps for `target`. Raises Trouble with words for a person when one cannot be done."""
    system.prepare(target)
    python = environment.make(root)
    stamps = Stamps(root / ".venv" / "setup-stamps.json")
    environment.install(root, python, target, stamps)
    node.install(root, python, target, stamps)
    models.build(root, python, stamps)


def main(arguments: list[str]) -> int:
    if arguments not in (["demo"], ["test"]):
        print("Usage: python3 setup/prepare.py demo|test", file=sys.stderr)
        return 2
    try:
        prepare(arguments[0])
    except Trouble as trouble:
        print(f"\n{trouble}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. Run the same command again to go on.", file=sys.stderr)
        return 130
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""`python -m analysis`: measure a clip or read its tracks."""

from __future__ import annotations

import sys

from analysis.cli import main

if __name__ == "__main__":
    sys.exit(main())

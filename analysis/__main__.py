"""`python -m analysis`: measure a clip or read its tracks."""

from __future__ import annotations

import sys

if __name__ == "__main__":
    if sys.argv[1:2] == ["measure"]:
        from analysis.guard import measure_guarded

        sys.exit(measure_guarded(sys.argv[1:]))
    from analysis.cli import main

    sys.exit(main())

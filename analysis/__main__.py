"""`python -m analysis`: measure a clip or read its tracks."""

from __future__ import annotations

import os
import sys

if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy is loaded: the lift's matrices are small
    if sys.argv[1:2] == ["measure"]:
        from analysis.guard import measure_guarded

        sys.exit(measure_guarded(sys.argv[1:]))
    from analysis.cli import main

    sys.exit(main())

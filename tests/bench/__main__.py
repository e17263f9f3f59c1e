"""`python -m tests.bench [CLIP]`: every bench, one after the other."""

from __future__ import annotations

import sys

from tests.bench.bench_measure import main

sys.exit(main(sys.argv[1:]))

"""`python -m tests.bench [CLIP]`: every bench, one after the other."""

from __future__ import annotations

import sys

from tests.bench import bench_measure, slow_lines

sys.exit(max(bench_measure.main(sys.argv[1:]), slow_lines.main([])))

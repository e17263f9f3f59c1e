"""The portal as it is started for real, among many who are slow. `python -m tests.bench.slow_lines` is the whole of it."""

import pytest

from tests.bench.bench_site import bench_site
from tests.bench.slow_lines import memory_above_idle, slow_people, visit
from tests.ready import lay_site

pytestmark = pytest.mark.slow


def test_eighty_slow_lines_hold_up_no_page_and_a_clip_needs_no_memory():
    """Ten of either kind would fill every thread; a page takes what it takes on this machine, and not much more."""
    with bench_site(lay=lay_site) as site:
        visit(site)
        alone = sorted(visit(site) for _ in range(10))
        with slow_people(site, 40, 40) as slow:
            among = sorted(visit(site) for _ in range(10))
        assert slow["upload"] == 0, "an upload was ended that still came in"
        assert among[5] < 3 * alone[5] + 0.3
        assert memory_above_idle(site, 200) < 64

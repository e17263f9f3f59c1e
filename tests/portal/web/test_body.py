"""Bodies on their way: a little in memory, more in a file that nobody finds afterwards."""

import pytest

from portal.web.body import IN_MEMORY, Body, TooLong


@pytest.mark.parametrize("size", [0, 10, IN_MEMORY, IN_MEMORY + 1, 3 * IN_MEMORY])
def test_what_went_in_comes_out(tmp_path, size):
    body, piece = Body(tmp_path, 10 * IN_MEMORY), bytes(range(256))
    sent = (piece * (size // 256 + 1))[:size]
    for start in range(0, size, 1000):
        body.append(sent[start : start + 1000])
    assert len(body) == size
    assert body.getfile().read() == sent
    body.close()


def test_the_file_has_no_name(tmp_path):
    body = Body(tmp_path, 10 * IN_MEMORY)
    body.append(bytes(2 * IN_MEMORY))
    assert list(tmp_path.iterdir()) == []
    body.close()


def test_more_than_may_come_is_refused(tmp_path):
    body = Body(tmp_path, 100)
    body.append(bytes(100))
    with pytest.raises(TooLong):
        body.append(b"1")

"""How long a sender may take."""

from portal.web.timeouts import Limits, MinimumRate

LIMITS = Limits(window_s=60, window_bytes=1000)


def test_a_body_that_keeps_coming_may_take_for_ever():
    rate = MinimumRate(LIMITS, 0)
    assert [rate.is_too_slow(1000 * minute, 60 * minute) for minute in range(1, 600)] == [False] * 599


def test_a_minute_with_too_little_in_it_is_the_end():
    rate = MinimumRate(LIMITS, 0)
    assert not rate.is_too_slow(0, 59)
    assert not rate.is_too_slow(5000, 60)
    assert rate.is_too_slow(5999, 120)


def test_what_came_in_an_earlier_minute_does_not_count_again():
    rate = MinimumRate(LIMITS, 0)
    assert not rate.is_too_slow(1_000_000, 60)
    assert rate.is_too_slow(1_000_000, 121)

"""How many lines one address may hold."""

import pytest

from portal.web.crowd import Crowd, forwarded, one_of


def test_an_address_has_so_many_and_gets_them_back():
    crowd = Crowd(2)
    assert [crowd.enter("192.0.2.1") for _ in range(3)] == [True, True, False]
    assert crowd.enter("192.0.2.2")
    crowd.leave("192.0.2.1")
    assert [crowd.enter("192.0.2.1") for _ in range(2)] == [True, False]


def test_the_front_on_this_machine_speaks_for_everybody():
    crowd = Crowd(1)
    assert all(crowd.enter("127.0.0.1") and crowd.enter("::1") for _ in range(50))


@pytest.mark.parametrize(
    ("address", "counts_as"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2::9", "2001:db8:1:2::/64"),
        ("::1", "::1"),
        ("", ""),
    ],
)
def test_a_household_counts_as_one(address, counts_as):
    assert one_of(address) == counts_as


@pytest.mark.parametrize(
    ("header", "proxies", "address"),
    [
        ("192.0.2.9", 1, "192.0.2.9"),
        ("10.0.0.1, 192.0.2.9", 1, "192.0.2.9"),
        ("10.0.0.1, 192.0.2.9, 198.51.100.1", 2, "192.0.2.9"),
        ("[2001:db8::1]", 1, "2001:db8::1"),
        ("192.0.2.9", 2, ""),
        ("192.0.2.9", 0, ""),
        ("not an address", 1, ""),
        ("", 1, ""),
    ],
)
def test_only_what_our_own_fronts_wrote_is_an_address(header, proxies, address):
    assert forwarded(header, proxies) == address

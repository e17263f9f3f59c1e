"""How many lines each address holds, so that nobody takes all of them."""

from __future__ import annotations

from collections import Counter
from ipaddress import AddressValueError, IPv6Address, ip_address

# A front on this machine speaks for everybody, and so does somebody at its keyboard.
OURSELVES = frozenset({"127.0.0.1", "::1", "localhost", ""})


class Crowd:
    """Counts up to `most` for each address. Used by the loop's thread alone."""

    def __init__(self, most: int) -> None:
        self.most = most
        self._inside: Counter[str] = Counter()

    def enter(self, address: str) -> bool:
        """Count one more, unless there are as many as may be. Who came in has to `leave`."""
        if address in OURSELVES:
            return True
        if self._inside[address] >= self.most:
            return False
        self._inside[address] += 1
        return True

    def leave(self, address: str) -> None:
        if address in OURSELVES:
            return
        self._inside[address] -= 1
        if self._inside[address] <= 0:
            del self._inside[address]


def one_of(address: str) -> str:
    """The address under which somebody counts: of IPv6 the first half, because a household has all of the rest."""
    try:
        half = IPv6Address(address).packed[:8]
    except AddressValueError:
        return address
    mapped = IPv6Address(address).ipv4_mapped
    if mapped is not None:
        return str(mapped)
    return address if address in OURSELVES else f"{IPv6Address(half + bytes(8))}/64"


def forwarded(header: str, proxies: int) -> str:
    """The address that `proxies` fronts vouch for: so many from the right of X-Forwarded-For. Empty when it says none."""
    named = [part.strip() for part in header.split(",") if part.strip()]
    if proxies < 1 or len(named) < proxies:
        return ""
    try:
        return str(ip_address(named[-proxies].strip("[]")))
    except ValueError:
        return ""

"""Bodies that go straight where they belong while they come in, instead of lying on the way to be copied after.

A view says so by an attribute `straight`: a function of the request, of which only the header is here, and of what its
address holds. It gives the `Taker` of the body, or None: then the body lies on the way as any other.
"""

from __future__ import annotations

from typing import IO, Any, Protocol

TAKER = "portal.web.straight"  # in the request's META: the Taker of its body


class Taker(Protocol):
    """What takes a body, in the loop's thread: nothing here may wait for anybody but the disk."""

    def append(self, piece: bytes) -> None:
        """Raises OSError when the disk is full."""

    def __len__(self) -> int:
        """How many bytes came."""

    def getfile(self) -> IO[bytes]:
        """What is left for the view to read as the request's body."""

    def environ(self) -> dict[str, Any]:
        """What the view's request says otherwise, once all of the body came."""

    def close(self) -> None:
        """Let go of what no view took."""

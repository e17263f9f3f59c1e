"""How long a sender may take. Pure: times in, yes or no out.

A header has to be whole in a time that does not begin anew with every byte. A body may take as long as a bad line needs,
but in every minute some of it has to come.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """Seconds, and bytes of a body in each window of so many seconds."""

    header_s: float = 20.0
    idle_s: float = 65.0  # a line kept open between two requests
    window_s: float = 60.0
    window_bytes: int = 16 * 1024  # 270 bytes a second: no line that a clip could ever come over
    reader_s: float = 60.0  # somebody who takes nothing of an answer
    linger_s: float = 5.0  # for the answer to be read by somebody who still sends


class MinimumRate:
    """Whether a body keeps coming. A window with too little in it is the end; a whole body needs none."""

    def __init__(self, limits: Limits, now: float) -> None:
        self._limits = limits
        self._since, self._seen = now, 0

    def is_too_slow(self, came: int, now: float) -> bool:
        """`came`: bytes so far."""
        if now - self._since < self._limits.window_s:
            return False
        enough = came - self._seen >= self._limits.window_bytes
        self._since, self._seen = now, came
        return not enough

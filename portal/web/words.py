"""What is said to whom is turned away before any page can say it: short, plain text."""

from __future__ import annotations

from waitress.utilities import Error


class _Refusal(Error):
    def to_response(self, ident: str | None = None) -> tuple[str, list[tuple[str, str]], bytes]:
        headers = [("Content-Type", "text/plain; charset=utf-8"), ("Cache-Control", "no-store"), ("Retry-After", "30")]
        return f"{self.code} {self.reason}", headers, f"{self.body}\n".encode()


class TooMany(_Refusal):
    """429"""

    code = 429
    reason = "Too Many Requests"

    def __init__(self) -> None:
        super().__init__("Very many connections come from your address just now. Please try again in half a minute.")


class BodyTooLong(_Refusal):
    """413"""

    code = 413
    reason = "Content Too Large"

    def __init__(self) -> None:
        super().__init__("This is more than the site takes at once.")


class NoRoom(_Refusal):
    """507"""

    code = 507
    reason = "Insufficient Storage"

    def __init__(self) -> None:
        super().__init__("Our disk is full. That is our trouble, not yours: please send it again later.")


def as_bytes(refusal: _Refusal) -> bytes:
    """A whole answer, for a line that never becomes a request."""
    status, headers, body = refusal.to_response()
    lines = [f"HTTP/1.1 {status}", *(f"{name}: {value}" for name, value in headers)]
    lines += [f"Content-Length: {len(body)}", "Connection: close", "", ""]
    return "\r\n".join(lines).encode() + body

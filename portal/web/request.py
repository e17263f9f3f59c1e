"""One request while it comes in: waitress's parser, with the body where we want it and its length looked at by us."""

from __future__ import annotations

from io import BytesIO
from typing import IO, Any

from waitress.parser import HTTPRequestParser
from waitress.receiver import ChunkedReceiver, FixedStreamReceiver

from portal.web.body import Body, TooLong
from portal.web.straight import Taker
from portal.web.timeouts import MinimumRate
from portal.web.words import BodyTooLong, NoRoom

RESUMABLE = "application/offset+octet-stream"  # of tus: whatever came of such a body is of use


class Request(HTTPRequestParser):
    """Made by `Channel`, which gives it its rules before the first byte."""

    body_rate: MinimumRate | None = None  # once the header is here
    is_given_in_part = False
    taker: Taker | None = None  # of the body, where that goes its own way

    def __init__(self, adj: Any, rules: Any) -> None:
        super().__init__(adj)
        self.rules = rules

    def received(self, data: bytes) -> int:
        """Take in some of it. A body that is too long or finds no room ends the request with words."""
        try:
            return super().received(data)
        except TooLong:
            self.end_with(BodyTooLong())
        except OSError:
            self.end_with(NoRoom())
        return len(data)

    def end_with(self, refusal: Any) -> None:
        self.close()
        self.body_rcv = None
        self.error = refusal
        self.completed = True

    def parse_header(self, header_plus: bytes) -> None:
        super().parse_header(header_plus)
        if self.body_rcv is None:
            return
        body: Any = Body(self.rules.folder, self.rules.largest)
        if self.chunked:
            self.body_rcv = ChunkedReceiver(body)
        else:
            self.body_rcv = FixedStreamReceiver(self.content_length, body)

    @property
    def is_large(self) -> bool:
        """Whether the body is more than anybody may send. One of unknown length is."""
        return self.body_rcv is not None and (self.chunked or self.content_length > self.rules.largest_of_anybody)

    @property
    def is_of_use_in_part(self) -> bool:
        media_type = self.headers.get("CONTENT_TYPE", "").split(";")[0].strip().lower()
        return self.error is None and self.body_bytes_received > 0 and media_type == RESUMABLE

    def give_in_part(self) -> None:
        """Take what is here for all that comes."""
        self.is_given_in_part = True
        if self.chunked and self.body_rcv is not None:
            self.headers["CONTENT_LENGTH"] = str(len(self.body_rcv))

    def get_body_stream(self) -> IO[bytes]:
        """Nothing while it still comes in: who looks at the header alone must not turn back the file being written."""
        stream: IO[bytes] = super().get_body_stream() if self.completed or self.is_given_in_part else BytesIO()
        return stream

    def go_straight(self, taker: Taker) -> None:
        """What came so far and all that follows goes to `taker`."""
        receiver: Any = self.body_rcv
        body, receiver.buf = receiver.buf, taker
        self.taker = taker
        try:
            if len(body):
                taker.append(body.getfile().read())
        except OSError:
            self.end_with(NoRoom())
        finally:
            body.close()

    def go_without_body(self) -> None:
        """Let the portal answer from the header alone; the line is of no use after that."""
        self.close()
        self.body_rcv = None
        self.headers["CONNECTION"] = "close"
        self.completed = True

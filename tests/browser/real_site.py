"""A site as an owner has it: an empty folder, the process that README.md starts, a mail server that takes emails.

No fixture, no demo, no database of the tests: what the walk needs it reads from the terminal, from emails and pages.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import re
import signal
import struct
import subprocess
import sys
import time
from email import message_from_bytes, policy
from pathlib import Path
from typing import Any

from aiosmtpd.controller import Controller

from tests.servers import free_port, wait_until

ROOT = Path(__file__).resolve().parent.parent.parent
LEFT_OUT = (
    "DATABASE_URL",
    "REDIS_URL",
    "MEDIA_ROOT",
    "SECRET_KEY",
    "ALLOWED_HOSTS",
    "SECOND_FACTOR",
    "TRUSTED_PROXIES",
)


class Postbox:
    """A mail server that takes every email. `newest(address)` waits for one that was not read yet."""

    def __init__(self) -> None:
        self.emails: list[Any] = []
        self._read: set[int] = set()
        self._server = Controller(self, hostname="127.0.0.1", port=free_port())
        self._server.start()
        self.url = f"smtp://127.0.0.1:{self._server.port}"

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        self.emails.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 2.0.0 queued in the postbox"

    def newest(self, address: str, about: str = "") -> str:
        """The text of the next email to `address` that nobody read yet and whose subject holds `about`."""

        def unread() -> list[int]:
            return [
                at for at, email in enumerate(self.emails)
                if at not in self._read and email["To"] == address and about in email["Subject"]
            ]  # fmt: skip

        assert wait_until(unread, 60), f"no email {about!r} to {address}; {[one['Subject'] for one in self.emails]}"
        at = unread()[-1]
        self._read.add(at)
        return str(self.emails[at].get_content())

    def code(self, address: str) -> str:
        found = re.search(r"\b[A-Z0-9]{3,5}-[A-Z0-9]{3,5}\b", self.newest(address, "code"))
        assert found
        return found.group()

    def stop(self) -> None:
        self._server.stop()


class RealSite:
    """`manage.py run` in a folder of its own. `url` is where it answers, `said` what stands in the terminal."""

    def __init__(self, folder: Path, mail: str) -> None:
        port = free_port()
        self.url = f"http://localhost:{port}"
        self._log = folder / "terminal.log"
        env = {name: value for name, value in os.environ.items() if name not in LEFT_OUT}
        env |= {
            "DATA_DIR": str(folder / "data"), "PORT": str(port), "SITE_URL": self.url, "EMAIL_URL": mail,
            "DEFAULT_FROM_EMAIL": "Lindholt swings <swings@example.org>",
        }  # fmt: skip
        with self._log.open("wb") as out:
            command = [sys.executable, "manage.py", "run"]
            self.process = subprocess.Popen(command, cwd=ROOT, env=env, stdout=out, stderr=out)

    @property
    def said(self) -> str:
        return self._log.read_text(errors="replace")

    def first_link(self) -> str:
        """The link that the terminal shows to whoever will be the owner."""
        assert wait_until(lambda: "/start/" in self.said, 420), self.said
        return re.search(r"http://\S+/start/\S+", self.said)[0]  # type: ignore[index]

    def stop(self) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            self.process.wait(60)


def digits(secret: str) -> str:
    """What an authenticator app shows now for this key (RFC 6238 with SHA-1, 30 seconds, six digits)."""
    key = base64.b32decode(secret.replace(" ", ""))
    digest = hmac.new(key, struct.pack(">Q", int(time.time()) // 30), hashlib.sha1).digest()
    start = digest[-1] & 15
    return f"{(struct.unpack('>I', digest[start : start + 4])[0] & 0x7FFFFFFF) % 1_000_000:06d}"


def give_passkeys(page: Any) -> Any:
    """A device with a fingerprint sensor that always says yes, for this page's context."""
    devices = page.context.new_cdp_session(page)
    devices.send("WebAuthn.enable")
    about = {
        "protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True,
        "isUserVerified": True, "automaticPresenceSimulation": True,
    }  # fmt: skip
    devices.send("WebAuthn.addVirtualAuthenticator", {"options": about})
    return devices

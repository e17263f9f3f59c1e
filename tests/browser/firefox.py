"""A real Firefox, asked over WebDriver BiDi (the W3C protocol that it speaks itself: no driver, and no build of its own).

Only what the frames' test needs: a cookie, an address, and JavaScript with its answer.
"""

from __future__ import annotations

import asyncio
import json
import re
import shutil
import subprocess
import threading
from itertools import count
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import aiohttp

NAMES = ("firefox-esr", "firefox")
LISTENING = re.compile(rb"WebDriver BiDi listening on (ws://\S+)")
PREFERENCES = {
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "app.update.disabledForTesting": True,
    "services.settings.server": "data:,#",  # asks nobody for anything
    "toolkit.telemetry.enabled": False,
}


def find_firefox() -> str | None:
    return next((path for path in map(shutil.which, NAMES) if path), None)


class Firefox:
    """One window. `home` is an empty folder for its profile."""

    def __init__(self, program: str, home: Path) -> None:
        lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in PREFERENCES.items()]
        (home / "user.js").write_text("\n".join(lines))
        words = [program, "--headless", "--no-remote", "--remote-debugging-port", "0", "--profile", str(home)]
        self._process = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        self._loop = asyncio.new_event_loop()  # of its own: Playwright's runs in the tests' thread
        threading.Thread(target=self._loop.run_forever, daemon=True).start()
        self._numbers = count(1)
        self._wait(self._connect(self._address()))
        self._ask("session.new", capabilities={})
        self.window = self._ask("browsingContext.getTree")["contexts"][0]["context"]

    def _address(self) -> str:
        assert self._process.stderr
        for line in self._process.stderr:
            if found := LISTENING.search(line):
                threading.Thread(target=self._process.stderr.read, daemon=True).start()  # a full pipe would stop it
                return found[1].decode() + "/session"
        raise RuntimeError("Firefox ended before it listened.")

    async def _connect(self, address: str) -> None:
        self._session = aiohttp.ClientSession()
        self._line = await self._session.ws_connect(address, max_msg_size=0)

    def _wait(self, coming: Any, seconds: float = 60) -> Any:
        return asyncio.run_coroutine_threadsafe(coming, self._loop).result(seconds)

    def _ask(self, method: str, seconds: float = 60, **params: Any) -> Any:
        return self._wait(self._exchange(next(self._numbers), method, params), seconds)

    async def _exchange(self, number: int, method: str, params: dict[str, Any]) -> Any:
        await self._line.send_json({"id": number, "method": method, "params": params})
        while True:
            said = await self._line.receive_json()
            if said.get("id") == number:
                if said["type"] == "error":
                    raise RuntimeError(f"{method}: {said['message']}")
                return said["result"]

    def put_cookie(self, site: str, name: str, value: str) -> None:
        domain = urlsplit(site).hostname
        cookie = {"name": name, "value": {"type": "string", "value": value}, "domain": domain}
        self._ask("storage.setCookie", cookie=cookie)

    def goto(self, address: str) -> None:
        self._ask("browsingContext.navigate", context=self.window, url=address, wait="complete")

    def evaluate(self, script: str, seconds: float = 60) -> Any:
        """What an expression of the page gives, promises awaited; anything that JSON can hold."""
        asked = f"(async () => JSON.stringify(await ({script}) ?? null))()"
        target = {"context": self.window}
        said = self._ask("script.evaluate", seconds, expression=asked, target=target, awaitPromise=True)
        if said["type"] == "exception":
            raise RuntimeError(said["exceptionDetails"]["text"])
        return json.loads(said["result"]["value"])

    def stop(self) -> None:
        self._wait(self._line.close())
        self._wait(self._session.close())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._process.terminate()
        self._process.wait(30)

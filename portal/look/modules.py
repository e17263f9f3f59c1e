"""Which browser modules a module imports, so that a page can name them all at once.

Without that a browser hears of a module only after it has read the one that imports it: half a dozen journeys to the server,
one after the other, before the desk begins to work.
"""

from __future__ import annotations

import posixpath
import re
from functools import lru_cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders

# At the start of a line only: `import("…")` in our comments is a type, which a browser never fetches.
_IMPORT = re.compile(r"""^(?:import|export)\b(?:[^"';]*\bfrom)?\s*["'](\.{1,2}/[^"']+)["']""", re.MULTILINE)


def imported(name: str) -> list[str]:
    """The modules that the module `name` (a static path) needs, each once, its own imports before theirs."""
    return _kept(name) if not settings.DEBUG else _found(name)


def _found(name: str) -> list[str]:
    found = [name]
    for one in found:  # grows on the way
        found += [path for path in dict.fromkeys(_direct(one)) if path not in found]
    return found[1:]


_kept = lru_cache(maxsize=None)(_found)


def _direct(name: str) -> list[str]:
    path = finders.find(name)
    if path is None:
        return []
    text = Path(path).read_text(encoding="utf-8")
    return [posixpath.normpath(posixpath.join(posixpath.dirname(name), address)) for address in _IMPORT.findall(text)]

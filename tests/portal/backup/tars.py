"""A tar file with members of a test's choosing."""

from __future__ import annotations

import io
import tarfile
from pathlib import Path
from typing import Any


def written(path: Path, members: list[tuple[Any, bytes]]) -> Path:
    with tarfile.open(path, "w") as tar:
        for about, data in members:
            info = tarfile.TarInfo(about) if isinstance(about, str) else about
            info.size = len(data)
            tar.addfile(info, io.BytesIO(data))
    return path

"""The parts of SciPy that a reading needs, loaded ahead."""

from __future__ import annotations

from importlib import import_module


def preload_scipy() -> None:
    """Load what the first reading would load."""
    for part in ("linalg", "ndimage", "optimize"):
        import_module(f"scipy.{part}")

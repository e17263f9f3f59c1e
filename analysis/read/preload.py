"""SciPy's parts that a reading needs, loaded ahead: it takes a second or two, in which a process does nothing else."""

from __future__ import annotations

from importlib import import_module

SCIPY_MODULES = ("linalg", "ndimage", "signal", "special")


def preload_scipy() -> None:
    """Load what the first reading would load."""
    for name in SCIPY_MODULES:
        import_module(f"scipy.{name}")

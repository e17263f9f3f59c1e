"""SciPy's parts that a reading needs, loaded ahead: it takes a second or two, in which a process does nothing else."""

from __future__ import annotations

from importlib import import_module

PARTS = ("linalg", "ndimage", "optimize", "signal", "spatial.transform", "special")


def load_parts() -> None:
    """Load what the first reading would load."""
    for name in PARTS:
        import_module(f"scipy.{name}")

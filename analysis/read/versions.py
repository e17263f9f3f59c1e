"""Which reading this is: two numbers that are kept with every result, so that old clips can be read again by a better one.

METHOD  goes up when the code of `analysis.read` or its parameters give other instants, values or intervals than before
BOOK    goes up when checkpoints, units, instants, views, bands or strips of the book are others than before

They only ever go up. `tests/analysis/read/test_versions.py` fails when what they stand for changed and they did not;
`python -m tests.analysis.read.note_versions` notes the new state once they did.
"""

from __future__ import annotations

from typing import Final

METHOD: Final = 18
BOOK: Final = 2

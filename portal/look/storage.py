"""Where static files get their hashed names: those that modules import as well as those that pages name.

A module under a hashed name never changes, so browsers keep it for good, and nobody meets the new half of an upgrade with
the old half of yesterday.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.contrib.staticfiles.storage import HashedFilesMixin, ManifestStaticFilesStorage
from whitenoise.storage import CompressedManifestStaticFilesStorage  # type: ignore[import-untyped]

_FILES, _PATTERNS = HashedFilesMixin._js_module_import_aggregation_patterns  # type: ignore[attr-defined]
OURS = f"js/{_FILES}"  # the libraries of the owner's tables are no modules, and looking through them took ten seconds


class HashedImports(HashedFilesMixin):
    """Rewrites the static imports and re-exports of browser modules to the hashed names.

    `import("…")` stays as it is: with us it stands in comments only, as a type, and types refer to each other in circles,
    which have no hash. For the same reason two modules may not import each other; collectstatic says which.
    """

    support_js_module_import_aggregation = True
    _js_module_import_aggregation_patterns: Any = (
        OURS,
        tuple(rule for rule in _PATTERNS if r"import\(" not in rule[0]),
    )
    max_post_process_passes = 40  # one for each step of the longest chain of imports


class Storage(HashedImports, CompressedManifestStaticFilesStorage):
    """What the site uses: hashed names, and packed copies beside the files. Pages ask for hashed names alone."""

    def compress_files(self, paths: Iterable[str]) -> Iterator[tuple[str, str]]:
        packed: Iterator[tuple[str, str]] = super().compress_files(set(self.hashed_files.values()) & set(paths))
        return packed


class UnpackedStorage(HashedImports, ManifestStaticFilesStorage):  # type: ignore[misc]
    """The same names without the packed copies, which take seconds to make."""

"""The files of the storage that the rows of a snapshot name. They are written once and never changed, so that what is
copied after the rows still belongs to them; what was deleted meanwhile is left out.
"""

from __future__ import annotations

from collections.abc import Iterator

from django.apps.registry import Apps
from django.core.files.storage import default_storage
from django.db.models import Model
from django.db.models.query import QuerySet

FOLDERS = ("originals", "clips", "evaluations", "incoming")  # all that the app keeps


def named(apps: Apps) -> Iterator[str]:
    """Storage names, in no order of meaning; a name may lead to nothing any more."""
    clip, evaluation = apps.get_model("intake", "Clip"), apps.get_model("evaluations", "Evaluation")
    for key, original in _rows(clip, "pk", "original"):
        yield original
        yield from below(f"clips/{key}")
    for key, pdf in _rows(evaluation, "pk", "pdf"):
        pictures = list(below(f"evaluations/{key}"))
        yield from pictures
        if pdf not in pictures:
            yield pdf
    for (key,) in _rows(apps.get_model("intake", "Upload"), "pk") if _has_uploads(apps) else ():
        yield f"incoming/{key}.part"


def below(folder: str) -> Iterator[str]:
    """Every file in a folder of the storage, and in those within."""
    try:
        folders, files = default_storage.listdir(folder)
    except (FileNotFoundError, NotADirectoryError):
        return
    yield from (f"{folder}/{name}" for name in sorted(files))
    for name in sorted(folders):
        yield from below(f"{folder}/{name}")


def _rows(model: type[Model], *names: str) -> list[tuple]:
    return list(QuerySet(model).order_by().values_list(*names))


def _has_uploads(apps: Apps) -> bool:
    return any(model._meta.label == "intake.Upload" for model in apps.get_models())

"""A call says in range or out of range: inside and outside are pitch locations to a coach.

Results that were read before are put into the new words; published editions stay as they were.
"""

from __future__ import annotations

from typing import Any

from django.db import migrations

NAMES = {"inside": "in range", "outside": "out of range"}


def rename(apps: Any, schema_editor: Any) -> None:
    _renamed(apps, NAMES)


def back(apps: Any, schema_editor: Any) -> None:
    _renamed(apps, {new: old for old, new in NAMES.items()})


def _renamed(apps: Any, names: dict[str, str]) -> None:
    measurements = apps.get_model("measuring", "Measurement").objects.filter(result__isnull=False).only("pk", "result")
    for measurement in measurements.iterator(chunk_size=100):
        changed = False
        for swing in (measurement.result or {}).get("swings") or []:
            for reading in swing.get("readings") or []:
                if reading.get("call") in names:
                    reading["call"], changed = names[reading["call"]], True
        if changed:
            measurement.save(update_fields=["result"])


class Migration(migrations.Migration):
    dependencies = [("measuring", "0004_read_again")]

    operations = [migrations.RunPython(rename, back)]

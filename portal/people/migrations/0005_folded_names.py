"""Players can be looked for without accents."""

from typing import Any

from django.db import migrations, models

from portal.people.folding import fold


def fold_all(apps: Any, _editor: Any) -> None:
    """Those that are there already; a thousand at a time."""
    players = apps.get_model("people", "Player").objects
    batch = []
    for player in players.only("first_name", "last_name").iterator(1000):
        player.folded_name = fold(f"{player.first_name} {player.last_name}")[:250]
        batch.append(player)
        if len(batch) == 1000:
            players.bulk_update(batch, ["folded_name"])
            batch = []
    players.bulk_update(batch, ["folded_name"])


class Migration(migrations.Migration):
    dependencies = [("people", "0004_plain_names")]

    operations = [
        migrations.AddField(
            "player", "folded_name", models.CharField(blank=True, default="", editable=False, max_length=250)
        ),
        migrations.RunPython(fold_all, migrations.RunPython.noop, elidable=True),
    ]

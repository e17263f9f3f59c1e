"""The columns of the log are filled now: ask for them, and take no two looks within the hour."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("evaluations", "0005_looks_so_far")]

    operations = [
        migrations.AlterField("sight", "half", models.PositiveIntegerField()),
        migrations.AlterField("sight", "hour", models.PositiveIntegerField()),
        migrations.AlterField("sight", "thing", models.UUIDField()),
        migrations.AlterField(
            "sight",
            "player",
            models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name="sights", to="people.player"),
        ),
        migrations.RemoveField("sight", "day"),
        migrations.AddConstraint(
            "sight", models.UniqueConstraint(fields=("user", "thing", "what", "hour"), name="one_sight_an_hour")
        ),
        migrations.AddConstraint(
            "sight",
            models.UniqueConstraint(fields=("user", "thing", "what", "half"), name="one_sight_an_hour_from_half"),
        ),
    ]

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """The log's rows are called what they are. The table is renamed, so every row stays."""

    dependencies = [("evaluations", "0008_questions"), ("people", "0001_initial"), ("intake", "0001_initial")]

    operations = [
        migrations.RemoveConstraint("sight", "one_sight_an_hour"),
        migrations.RemoveConstraint("sight", "one_sight_an_hour_from_half"),
        migrations.RenameModel("Sight", "AccessLogEntry"),
        migrations.AlterModelOptions("accesslogentry", {"verbose_name_plural": "access log entries"}),
        migrations.AddConstraint(
            "accesslogentry",
            models.UniqueConstraint(fields=("user", "thing", "what", "hour"), name="one_entry_an_hour"),
        ),
        migrations.AddConstraint(
            "accesslogentry",
            models.UniqueConstraint(fields=("user", "thing", "what", "half"), name="one_entry_an_hour_from_half"),
        ),
        migrations.AlterField(
            "accesslogentry",
            "player",
            models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE, related_name="access_log", to="people.player"
            ),
        ),
        migrations.AlterField(
            "accesslogentry",
            "submission",
            models.ForeignKey(
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="access_log",
                to="intake.submission",
            ),
        ),
    ]

"""The log of who saw what keeps each look, an hour apart, instead of a day's last: new columns, empty for now."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

WHAT = [
    ("film", "the film"),
    ("frames", "the film frame by frame"),
    ("pictures", "pictures from the film"),
    ("numbers", "the numbers"),
    ("draft", "the draft of the evaluation"),
    ("preview", "the draft as it will be read"),
    ("evaluation", "the evaluation"),
    ("pdf", "the evaluation’s PDF"),
    ("page", "the clip’s page"),
    ("player", "the player’s page"),
    ("row", "the owner’s tables"),
    ("letter", "a letter to the family"),
    ("export", "a copy of everything kept"),
]
SEEN_AS = [("coach", "a coach of the camp"), ("owner", "the owner of this site"), ("family", "the family")]


class Migration(migrations.Migration):
    dependencies = [
        ("evaluations", "0003_pdf_attempts"),
        ("intake", "0003_same_file_kept_once"),
        ("people", "0001_initial"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.RemoveConstraint(model_name="sight", name="one_sight_a_day"),
        migrations.AddField("sight", "half", models.PositiveIntegerField(null=True)),
        migrations.AddField("sight", "hour", models.PositiveIntegerField(null=True)),
        migrations.AddField("sight", "thing", models.UUIDField(null=True)),
        migrations.AddField(
            "sight",
            "name",
            models.CharField(
                blank=True, default="", help_text="Of a coach or owner, for when the account goes.", max_length=254
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            "sight", "seen_as", models.CharField(choices=SEEN_AS, default="", max_length=6), preserve_default=False
        ),
        migrations.AddField(
            "sight",
            "player",
            models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.CASCADE, related_name="sights", to="people.player"
            ),
        ),
        migrations.AlterField("sight", "at", models.DateTimeField(default=django.utils.timezone.now)),
        migrations.AlterField(
            "sight",
            "submission",
            models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.CASCADE, related_name="sights", to="intake.submission"
            ),
        ),
        migrations.AlterField(
            "sight",
            "user",
            models.ForeignKey(
                null=True, on_delete=django.db.models.deletion.SET_NULL, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AlterField("sight", "what", models.CharField(choices=WHAT, max_length=12)),
    ]

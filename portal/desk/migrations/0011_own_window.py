from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("desk", "0010_phrases")]

    operations = [
        migrations.RemoveField(model_name="review", name="last_change"),
        migrations.AddField(
            model_name="review",
            name="made",
            field=models.JSONField(
                blank=True,
                default=list,
                help_text="The newest changes: token and the version it made; one sent again is not made twice.",
            ),
        ),
        migrations.AddField(
            model_name="review",
            name="window",
            field=models.CharField(
                blank=True, default="", help_text="The browser window that made the newest change.", max_length=36
            ),
        ),
        migrations.AddField(
            model_name="review",
            name="alone_since",
            field=models.PositiveIntegerField(
                default=0, help_text="The version since which nobody but that window changed the draft."
            ),
        ),
    ]

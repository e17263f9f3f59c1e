from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("desk", "0004_review_last_change")]

    operations = [
        migrations.AddField(
            "markup",
            "keep_others",
            models.BooleanField(default=False, help_text="Show the people beside the hitter, and all else around."),
        )
    ]

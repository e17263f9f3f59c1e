from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("desk", "0003_initial"),
    ]

    operations = [
        migrations.AddField(
            model_name="review",
            name="last_change",
            field=models.CharField(
                default="",
                blank=True,
                help_text="Token of the newest change; one sent again is not made twice.",
                max_length=36,
            ),
        ),
    ]

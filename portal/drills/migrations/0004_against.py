from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("drills", "0003_for_whom"),
    ]

    operations = [
        migrations.AddField(
            model_name="drill",
            name="against",
            field=models.JSONField(
                blank=True,
                default=dict,
                help_text="Against which side of the band: checkpoint id to low, high or both. Missing: not said.",
            ),
        ),
    ]

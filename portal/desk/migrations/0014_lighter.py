from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("desk", "0013_the_swing_shown"),
    ]

    operations = [
        migrations.AddField(
            model_name="review",
            name="lighter",
            field=models.BooleanField(
                default=False, help_text="Pictures and slow motion are sent lighter than they were filmed."
            ),
        ),
    ]

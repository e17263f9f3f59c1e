# Words alone: databases hold no help texts, so nothing is altered in them.

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("desk", "0012_pronoun_of_the_player"),
    ]

    operations = [
        migrations.AlterField(
            model_name="review",
            name="swing",
            field=models.PositiveSmallIntegerField(default=0, help_text="Which swing of the clip is shown."),
        ),
    ]

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("people", "0006_called_email")]

    operations = [
        migrations.AddField(
            model_name="player",
            name="pronoun",
            field=models.CharField(
                blank=True,
                choices=[("he", "he"), ("she", "she"), ("they", "they")],
                default="",
                help_text="What sentences about the player say, as the family or the newest evaluation has it. Empty: nobody said.",
                max_length=4,
                verbose_name="called",
            ),
        ),
    ]

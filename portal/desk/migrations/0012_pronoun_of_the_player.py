"""Until now every draft began with "they", chosen or not: there it counts as not chosen. What was chosen and is published is
the player's from here on.
"""

from django.db import migrations, models


def give_to_players(apps, schema_editor):
    Review = apps.get_model("desk", "Review")
    Player = apps.get_model("people", "Player")
    Review.objects.filter(pronoun="they").update(pronoun="")
    chosen = Review.objects.filter(pronoun__in=("he", "she"), submission__state="published").order_by("saved_at")
    for player, pronoun in chosen.values_list("submission__player", "pronoun"):
        Player.objects.filter(pk=player).update(pronoun=pronoun)


def give_back(apps, schema_editor):
    apps.get_model("desk", "Review").objects.filter(pronoun="").update(pronoun="they")


class Migration(migrations.Migration):
    dependencies = [("desk", "0011_own_window"), ("people", "0007_pronoun"), ("intake", "0010_queue_due")]

    operations = [
        migrations.AlterField(
            model_name="review",
            name="pronoun",
            field=models.CharField(
                blank=True,
                choices=[("he", "he"), ("she", "she"), ("they", "they")],
                default="",
                help_text="What phrases call this player here. Empty: as they were called before.",
                max_length=4,
            ),
        ),
        migrations.RunPython(give_to_players, give_back),
    ]

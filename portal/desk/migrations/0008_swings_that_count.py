import django.db.models.deletion
from django.db import migrations, models


def keep_numbers(apps, schema_editor):
    """Until now a draft's numbers were those of one swing: where a coach began with them, that swing alone counts, until the
    coach takes others back.
    """
    review = apps.get_model("desk", "Review")
    measurement = apps.get_model("measuring", "Measurement")
    begun = review.objects.filter(clip__isnull=False, version__gt=0)
    for pk, clip, chosen in begun.values_list("pk", "clip_id", "swing").iterator():
        result = measurement.objects.filter(clip_id=clip).values_list("result", flat=True).first() or {}
        indices = [swing["index"] for swing in result.get("swings", [])]
        if len(indices) > 1 and chosen in indices:
            counting = {str(clip): {str(index): index == chosen for index in indices}}
            review.objects.filter(pk=pk).update(counting=counting)


class Migration(migrations.Migration):
    dependencies = [
        ("desk", "0007_words_without_a_rate"),
        ("measuring", "0005_calls_by_range"),
    ]

    operations = [
        migrations.AddField(
            model_name="review",
            name="counting",
            field=models.JSONField(
                blank=True,
                default=dict,
                help_text="Which swings count, as the coach said: by clip and the swing’s index. See counting.py.",
            ),
        ),
        migrations.AlterField(
            model_name="review",
            name="swing",
            field=models.PositiveSmallIntegerField(default=0, help_text="Which swing of the clip is on the stage."),
        ),
        migrations.AddField(
            model_name="rating",
            name="clip",
            field=models.ForeignKey(
                blank=True,
                help_text="The clip that it was said of, whose number stood beside it; empty where that was not noted.",
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="intake.clip",
            ),
        ),
        migrations.RunPython(keep_numbers, migrations.RunPython.noop),
    ]

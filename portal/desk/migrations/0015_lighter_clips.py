from django.db import migrations, models


def every_clip(apps, schema_editor):
    """What was sent lighter was so as a whole."""
    for review in apps.get_model("desk", "Review").objects.filter(lighter=True):
        clips = apps.get_model("intake", "Clip").objects.filter(submission=review.submission_id)
        review.lighter_clips = [str(pk) for pk in clips.values_list("pk", flat=True)]
        review.save(update_fields=["lighter_clips"])


def any_clip(apps, schema_editor):
    apps.get_model("desk", "Review").objects.exclude(lighter_clips=[]).update(lighter=True)


class Migration(migrations.Migration):
    dependencies = [
        ("desk", "0014_lighter"),
        ("intake", "0010_queue_due"),
    ]

    operations = [
        migrations.AddField(
            model_name="review",
            name="lighter_clips",
            field=models.JSONField(
                blank=True,
                default=list,
                help_text="The clips whose pictures and slow motion are sent lighter than they were filmed.",
            ),
        ),
        migrations.RunPython(every_clip, any_clip),
        migrations.RemoveField(model_name="review", name="lighter"),
    ]

"""What two requests at once could make twice becomes one again, so that the constraints of the next migration hold.

Apart from them because PostgreSQL alters no table in the transaction in which its rows were deleted.
"""

from django.db import migrations
from django.db.models import Count


def mend(apps, schema_editor):
    mend_submissions(apps.get_model("intake", "Submission"))
    mend_consents(apps.get_model("intake", "Consent"))


def mend_submissions(submissions):
    """Of those that wait for a clip the first stays. One that has a clip all the same has been received."""
    begun = submissions.objects.filter(state="uploading")
    for pair in doubles(begun):
        rows = list(begun.filter(**pair).order_by("created_at"))
        with_clips = [row for row in rows if row.clips.exists()]
        submissions.objects.filter(pk__in=[row.pk for row in with_clips]).update(state="received")
        waiting = [row for row in rows if row not in with_clips]
        note = next((row.note for row in waiting if row.note), "")
        if waiting and note and not waiting[0].note:
            submissions.objects.filter(pk=waiting[0].pk).update(note=note)
        for row in waiting[1:]:
            row.delete()


def mend_consents(consents):
    """Of each person the newest word holds; an older one ended when that was given."""
    holding = consents.objects.filter(taken_back_at=None)
    for pair in doubles(holding, "given_by_id"):
        rows = list(holding.filter(**pair).order_by("-given_at", "-pk"))
        consents.objects.filter(pk__in=[row.pk for row in rows[1:]]).update(taken_back_at=rows[0].given_at)


def doubles(rows, *also):
    fields = ["player_id", "camp_id", *also]
    counted = rows.exclude(player_id=None).order_by().values(*fields).annotate(count=Count("pk")).filter(count__gt=1)
    return [{name: row[name] for name in fields} for row in counted]


class Migration(migrations.Migration):
    dependencies = [
        ("intake", "0006_film_ended"),
    ]

    operations = [migrations.RunPython(mend, migrations.RunPython.noop)]

"""What was logged by the day: by its moment, under the new kinds, with who they were to the child."""

from django.db import migrations

KINDS = {"clip": "frames", "desk": "draft"}  # "clip" was noted at the first still, "desk" at the page with the draft


def carry_over(apps, schema_editor):
    Sight = apps.get_model("evaluations", "Sight")
    taken = set()
    for sight in Sight.objects.select_related("user", "submission__player").order_by("at"):
        what = KINDS.get(sight.what, sight.what)
        seconds = int(sight.at.timestamp())
        hour, half = seconds // 3600, (seconds + 1800) // 3600
        key = (sight.user_id, sight.submission_id, what)
        if {(*key, "hour", hour), (*key, "half", half)} & taken:
            sight.delete()  # shortly before and shortly after midnight
            continue
        taken |= {(*key, "hour", hour), (*key, "half", half)}
        seen_as = _seen_as(sight)
        Sight.objects.filter(pk=sight.pk).update(
            what=what,
            hour=hour,
            half=half,
            thing=sight.submission_id,
            player=sight.submission.player_id,
            seen_as=seen_as,
            name="" if seen_as == "family" else sight.user.name or sight.user.email,
        )


def _seen_as(sight):
    player = sight.submission.player
    if player.user_id == sight.user_id or player.guardians.filter(pk=sight.user_id).exists():
        return "family"
    coaches = sight.submission.camp.coaches
    return "coach" if coaches.filter(pk=sight.user_id).exists() or not sight.user.is_staff else "owner"


class Migration(migrations.Migration):
    dependencies = [("evaluations", "0004_looks_by_the_hour"), ("camps", "0002_initial")]

    operations = [migrations.RunPython(carry_over, migrations.RunPython.noop)]  # back: with an empty log only

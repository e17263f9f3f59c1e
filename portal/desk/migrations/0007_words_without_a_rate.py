from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("desk", "0006_rate_is_known"),
    ]

    operations = [
        migrations.AlterField(
            model_name="rating",
            name="rate",
            field=models.CharField(
                blank=True, choices=[("good", "good"), ("watch", "watch"), ("work_on", "work on")], max_length=8
            ),
        ),
        migrations.RemoveConstraint(model_name="rating", name="rate_is_known"),
        migrations.AddConstraint(
            model_name="rating",
            constraint=models.CheckConstraint(
                condition=models.Q(("rate__in", ["", "good", "watch", "work_on"])), name="rate_is_known"
            ),
        ),
    ]

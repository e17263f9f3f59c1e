from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("intake", "0009_queue_index")]

    operations = [
        migrations.AddIndex(
            model_name="submission",
            index=models.Index(fields=["promised_by", "received_at", "created_at", "id"], name="queue_due"),
        ),
    ]

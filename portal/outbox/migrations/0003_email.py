from django.db import migrations


class Migration(migrations.Migration):
    """A letter is called an email now, as everywhere else; its rows stay as they are."""

    dependencies = [
        ("outbox", "0002_letter_states"),
    ]

    operations = [
        migrations.RenameModel("Letter", "Email"),
        migrations.RenameIndex("email", new_name="email_due", old_name="letter_due"),
        migrations.RenameIndex("email", new_name="email_written", old_name="letter_written"),
    ]

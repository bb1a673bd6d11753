"""A page of the list of messages is found without looking at the others."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("orders", "0011_lines_of_needs")]
    operations = together([
        migrations.AddIndex("mail", models.Index(fields=["-written_at", "-id"], name="mail_by_day")),
    ])

"""A page of the list of replies is found without looking at the others."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("replies", "0001_start")]
    operations = together([
        migrations.AddIndex("reply", models.Index(fields=["-brought_at", "-id"], name="reply_by_day")),
    ])

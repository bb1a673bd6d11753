"""A page of the list of lessons is found without looking at the others."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("jobs", "0010_list_by_day")]
    operations = together([
        migrations.AddIndex("lesson", models.Index(fields=["-written_on", "-id"], name="lesson_by_day")),
    ])

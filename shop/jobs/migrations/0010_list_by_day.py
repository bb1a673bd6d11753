"""A page of the list of jobs is found without looking at the others."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("jobs", "0009_latest_finished")]
    operations = together([
        migrations.AddIndex("job", models.Index(fields=["-opened_on", "id"], name="job_by_day")),
    ])

"""The latest finished steps are found without looking at those before them."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("jobs", "0008_angle_of_a_sign_off")]
    operations = together([
        migrations.AddIndex("step", models.Index(fields=["-finished_at", "id"], name="step_latest_finished")),
    ])

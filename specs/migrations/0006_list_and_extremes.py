"""The newest readings, and those that lie farthest apart of each dimension, are found without looking at the others."""

from django.conf import settings
from django.db import migrations, models
from django.db.models import F, Q

from specs.together import together

STANDING = Q(("deleted_at", None))


class Migration(migrations.Migration):
    dependencies = [
        ("specs", "0005_asked_about_whole"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]
    operations = together([
        migrations.AddIndex(
            "measurement",
            models.Index(condition=STANDING, fields=["-measured_on", "id"], name="measurement_by_day"),
        ),
        migrations.AddIndex(
            "measurement",
            models.Index(F("dimension"), F("value") - F("tolerance"), condition=STANDING, name="measurement_from"),
        ),
        migrations.AddIndex(
            "measurement",
            models.Index(F("dimension"), F("value") + F("tolerance"), condition=STANDING, name="measurement_to"),
        ),
    ])

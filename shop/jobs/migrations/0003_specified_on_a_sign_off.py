from django.db import migrations

from specs.together import together


class Migration(migrations.Migration):
    """Name what was to be reached `specified`, as the pages do."""

    dependencies = [("jobs", "0002_change_reason_whole")]

    operations = together([
        migrations.RenameField("signoff", "asked", "specified"),
        migrations.RenameField("historicalsignoff", "asked", "specified"),
    ])

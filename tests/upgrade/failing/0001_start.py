"""A change that does half its work and then fails, as a change may on the data of one shop only."""

from typing import Any

from django.db import migrations


def half(apps: Any, schema_editor: Any) -> None:
    schema_editor.execute("CREATE TABLE half_made (id integer)")


def fail(apps: Any, schema_editor: Any) -> None:
    schema_editor.execute("DELETE FROM jobs_signoff")
    raise ValueError("a label that nobody thought of")


class Migration(migrations.Migration):
    atomic = False  # what it did stays done, as on databases that cannot take back a change of tables
    dependencies = [("base", "0001_start")]
    operations = [migrations.RunPython(half), migrations.RunPython(fail)]

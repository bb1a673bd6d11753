"""A change that ends well and has lost what it should have kept."""

from typing import Any

from django.db import migrations


def lose(apps: Any, schema_editor: Any) -> None:
    schema_editor.execute("DELETE FROM auth_user_groups")


class Migration(migrations.Migration):
    dependencies = [("people", "0001_start")]
    operations = [migrations.RunPython(lose)]

import django.db.models.deletion
from django.db import migrations, models

from specs.together import together

class Migration(migrations.Migration):
    dependencies = [("base", "0003_submitted_form_address")]

    operations = together([
        migrations.CreateModel(
            name="SearchEntry",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("kind", models.CharField(max_length=60)),
                ("key", models.BigIntegerField()),
                ("name", models.CharField(db_index=True, max_length=250)),
                ("text", models.TextField()),
                ("deleted", models.BooleanField(default=False)),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("kind", "key"), name="search_entry_of_record")],
            },
        ),
        migrations.CreateModel(
            name="PrintedNumber",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("number", models.CharField(db_index=True, max_length=80)),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="numbers",
                        to="base.searchentry",
                    ),
                ),
            ],
            options={
                "constraints": [models.UniqueConstraint(fields=("entry", "number"), name="printed_number_once")],
            },
        ),
    ])

from django.db import migrations, models

from specs.together import together


def name_bolts(apps, schema_editor):
    """Until now the thread of a hole that is not tapped was that of the bolt through it."""
    for name in ("Hole", "HistoricalHole"):
        rows = apps.get_model("specs", name).objects.using(schema_editor.connection.alias)
        holes = rows.filter(kind__in=["clearance", "countersunk"]).exclude(thread="")
        holes.update(bolt=models.F("thread"))
        holes.update(thread="")


class Migration(migrations.Migration):
    dependencies = [("specs", "0002_change_reason_whole")]

    operations = together([
        migrations.AddField(
            model_name="hole",
            name="bolt",
            field=models.CharField(blank=True, default="", max_length=30, verbose_name="bolt through it"),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="historicalhole",
            name="bolt",
            field=models.CharField(blank=True, default="", max_length=30, verbose_name="bolt through it"),
            preserve_default=False,
        ),
        migrations.RunPython(name_bolts, migrations.RunPython.noop),
        migrations.AlterField(
            model_name="torquespec",
            name="tightening_order",
            field=models.CharField(
                blank=True,
                help_text="Optional: the cross pattern for the count is used without one.",
                max_length=300,
            ),
        ),
        migrations.AlterField(
            model_name="historicaltorquespec",
            name="tightening_order",
            field=models.CharField(
                blank=True,
                help_text="Optional: the cross pattern for the count is used without one.",
                max_length=300,
            ),
        ),
    ])

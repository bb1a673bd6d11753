"""What a line owes, kept in its columns: added, and worked out for the lines that are there."""

from collections import defaultdict

from django.db import migrations, models

from specs.together import together


def work_out(apps, schema_editor):
    """Say of every line what its promises, deliveries, returns and cancellations come to."""
    here = schema_editor.connection.alias

    def rows(name, *fields, key="line_id", **conditions):
        found = defaultdict(list)
        kept = apps.get_model("orders", name).objects.using(here).filter(deleted_at=None, **conditions).order_by("pk")
        for owner, *values in kept.values_list(key, *fields):
            found[owner].append(values)
        return found

    promises = rows("Promise", "given_on", "latest")
    came, gone = rows("Delivery", "quantity", "on"), rows("Cancellation", "quantity", "on")
    back = rows("Return", "quantity", to_be_replaced=True)
    heard = rows("Chase", "answered_on", key="order_id", answered_on__isnull=False)
    lines = apps.get_model("orders", "OrderLine").objects.using(here)
    for key, order, ordered_on, quantity in list(
        lines.values_list("pk", "order_id", "order__ordered_on", "quantity")
    ):
        away = sum(row[0] for row in [*came[key], *gone[key]])
        left = max(0, quantity - away + sum(row[0] for row in back[key]))
        dated = sorted((row for row in promises[key] if row[1]), key=lambda row: row[0])
        said = [ordered_on, *(row[0] for row in promises[key]), *(row[0] for row in heard[order])]
        lines.filter(pk=key).update(
            left=left,
            awaited=left > 0,
            expected=dated[-1][1] if dated else None,
            first_promised=dated[0][1] if dated else None,
            promise_count=len(dated),
            heard=max(said),
            came_on=max((row[1] for row in came[key]), default=None),
            cancelled_on=max((row[1] for row in gone[key]), default=None),
        )


class Migration(migrations.Migration):
    dependencies = [("orders", "0002_change_reason_whole")]
    operations = together([
        migrations.AddField("orderline", "left", models.DecimalField(blank=True, decimal_places=2, editable=False, max_digits=10, null=True, verbose_name="still to come")),
        migrations.AddField("orderline", "awaited", models.BooleanField(default=True, editable=False)),
        migrations.AddField("orderline", "expected", models.DateField(editable=False, null=True, verbose_name="promised for")),
        migrations.AddField("orderline", "first_promised", models.DateField(editable=False, null=True, verbose_name="first promised for")),
        migrations.AddField("orderline", "promise_count", models.PositiveIntegerField(default=0, editable=False, verbose_name="dates given")),
        migrations.AddField("orderline", "heard", models.DateField(blank=True, editable=False, null=True, verbose_name="last heard of")),
        migrations.AddField("orderline", "came_on", models.DateField(editable=False, null=True, verbose_name="last delivery")),
        migrations.AddField("orderline", "cancelled_on", models.DateField(editable=False, null=True, verbose_name="last cancellation")),
        migrations.RunPython(work_out, migrations.RunPython.noop),
    ])

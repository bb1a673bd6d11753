"""Every line says what it owes from here on; those that still owe something are found by an index of their own."""

from django.db import migrations, models

from specs.together import together

import shop.orders.line_status


class Migration(migrations.Migration):
    dependencies = [("orders", "0003_what_a_line_owes")]
    operations = together([
        migrations.AlterField(
            "orderline",
            "left",
            models.DecimalField(
                blank=True, decimal_places=2, editable=False, max_digits=10, verbose_name="still to come"
            ),
        ),
        migrations.AlterField(
            "orderline", "heard", models.DateField(blank=True, editable=False, verbose_name="last heard of")
        ),
        migrations.AddField(
            "supplier",
            "record_mark",
            models.BigIntegerField(default=shop.orders.line_status.new_mark, editable=False),
        ),
        migrations.AddIndex(
            "orderline",
            models.Index(condition=models.Q(("awaited", True)), fields=["expected"], name="orderline_awaited"),
        ),
    ])

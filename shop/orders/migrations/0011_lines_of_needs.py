from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("orders", "0010_deliveries_by_day")]
    operations = together([
        migrations.AddIndex(
            "orderline",
            models.Index(
                condition=models.Q(("part_need__isnull", False)), fields=["part_need"], name="orderline_of_need"
            ),
        ),
    ])

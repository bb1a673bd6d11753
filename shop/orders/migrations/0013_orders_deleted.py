"""What came of deleted orders is left out without a look at every other."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("orders", "0012_mail_by_day")]
    operations = together([
        migrations.AddIndex(
            "order",
            models.Index(
                fields=["deleted_at"], condition=models.Q(("deleted_at__isnull", False)), name="order_deleted"
            ),
        ),
    ])

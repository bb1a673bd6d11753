"""The invoices that are not paid are found without a look at those that are."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('orders', '0014_lists_by_one_index'),
        ('payables', '0003_list_by_one_index'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AddIndex(
            model_name='invoice',
            index=models.Index(fields=['paid_on', '-on', 'id', 'deleted_at'], name='invoice_list_unpaid'),
        ),
    ])

"""The list of invoices is counted and paged in one index."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('orders', '0014_lists_by_one_index'),
        ('payables', '0002_lines_of_invoices'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AddIndex(
            model_name='invoice',
            index=models.Index(fields=['-on', 'id', 'deleted_at'], name='invoice_list'),
        ),
    ])

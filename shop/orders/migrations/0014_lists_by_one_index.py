"""A list of orders, or of deliveries, is counted and paged in one index."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('orders', '0013_orders_deleted'),
        ('stock', '0002_where_pieces_lie'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AddIndex(
            model_name='delivery',
            index=models.Index(fields=['-on', 'id', 'deleted_at', 'line'], name='delivery_list'),
        ),
        migrations.AddIndex(
            model_name='order',
            index=models.Index(fields=['-ordered_on', 'id', 'deleted_at'], name='order_list'),
        ),
    ])

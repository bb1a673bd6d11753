"""A list of vehicles, or of customers, is counted and paged in one index."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('vehicles', '0005_list_by_name'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AddIndex(
            model_name='customer',
            index=models.Index(fields=['name', 'id', 'deleted_at'], name='customer_list'),
        ),
        migrations.AddIndex(
            model_name='vehicle',
            index=models.Index(fields=['maker', 'model', 'id', 'deleted_at'], name='vehicle_list'),
        ),
        migrations.AddIndex(
            model_name='vehicle',
            index=models.Index(fields=['customer', 'deleted_at'], name='vehicle_of_customer'),
        ),
    ])

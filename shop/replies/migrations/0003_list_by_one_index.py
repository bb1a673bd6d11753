"""The list of replies is counted and paged in one index."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('orders', '0014_lists_by_one_index'),
        ('replies', '0002_by_day'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AddIndex(
            model_name='reply',
            index=models.Index(fields=['-brought_at', 'id', 'deleted_at'], name='reply_list'),
        ),
    ])

"""A list of jobs, or of lessons, is counted and paged in one index."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('jobs', '0011_lessons_by_day'),
        ('specs', '0007_lists_by_one_index'),
        ('vehicles', '0006_lists_by_one_index'),
        ('worksheets', '0003_whole_note'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AddIndex(
            model_name='job',
            index=models.Index(fields=['-opened_on', 'id', 'deleted_at'], name='job_list'),
        ),
        migrations.AddIndex(
            model_name='lesson',
            index=models.Index(fields=['-written_on', 'id', 'deleted_at'], name='lesson_list'),
        ),
    ])

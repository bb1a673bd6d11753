"""What belongs to a component is listed in the order of two indexes; readings are counted and paged in one."""

from django.conf import settings
from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [
        ('specs', '0006_list_and_extremes'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = together([
        migrations.AlterModelOptions(
            name='component',
            options={'ordering': ['kind', 'maker', 'name', 'pk']},
        ),
        migrations.AddIndex(
            model_name='component',
            index=models.Index(fields=['kind', 'maker', 'name', 'id'], name='component_list'),
        ),
        migrations.AddIndex(
            model_name='holepattern',
            index=models.Index(fields=['component', 'face', '-measured_on', '-id', 'deleted_at'], name='hole_pattern_list'),
        ),
        migrations.AddIndex(
            model_name='matingfeature',
            index=models.Index(fields=['component', 'kind', 'name', 'id', 'deleted_at'], name='mating_feature_list'),
        ),
        migrations.AddIndex(
            model_name='measurement',
            index=models.Index(fields=['-measured_on', 'id', 'deleted_at'], name='measurement_list'),
        ),
        migrations.AddIndex(
            model_name='torquespec',
            index=models.Index(fields=['component', 'place', 'id', 'deleted_at'], name='torque_spec_list'),
        ),
    ])

"""A page of the list of vehicles is found without looking at the others."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("vehicles", "0003_optional_day")]
    operations = together([
        migrations.AddIndex("vehicle", models.Index(fields=["maker", "model", "id"], name="vehicle_by_maker")),
    ])

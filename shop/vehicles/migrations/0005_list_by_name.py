"""A page of the list of customers is found without looking at the others."""

from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("vehicles", "0004_list_by_maker")]
    operations = together([
        migrations.AddIndex("customer", models.Index(fields=["name", "id"], name="customer_by_name")),
    ])

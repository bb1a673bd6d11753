from django.db import migrations, models

from specs.together import together


class Migration(migrations.Migration):

    dependencies = [("planning", "0002_change_reason_whole")]

    operations = together([
        migrations.CreateModel(
            name="KeptForecast",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("fingerprint", models.CharField(max_length=64, unique=True)),
                ("result", models.JSONField()),
                ("made_at", models.DateTimeField(db_index=True)),
            ],
        ),
    ])

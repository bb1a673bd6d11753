from django.db import migrations

from specs.together import together


class Migration(migrations.Migration):
    dependencies = [("base", "0002_interrupted_form")]

    operations = together([
        migrations.RenameField("submittedform", "landed", "address"),
        migrations.RenameField("submittedform", "pressed_at", "sent_at"),
    ])

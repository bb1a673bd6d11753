from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("base", "0002_interrupted_form")]

    operations = [
        migrations.RenameField("submittedform", "landed", "address"),
        migrations.RenameField("submittedform", "pressed_at", "sent_at"),
    ]

from django.apps import AppConfig


class PrintConfig(AppConfig):
    name = "shop.print"
    label = "print"
    verbose_name = "Printing"
    default_auto_field = "django.db.models.BigAutoField"

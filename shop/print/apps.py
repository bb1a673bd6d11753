from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class PrintConfig(AppConfig):
    name = "shop.print"
    label = "print"
    verbose_name = gettext_lazy("Printing")
    default_auto_field = "django.db.models.BigAutoField"

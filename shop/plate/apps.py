from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class PlateConfig(AppConfig):
    name = "shop.plate"
    label = "plate"
    verbose_name = gettext_lazy("Plates")
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class MeasuringConfig(AppConfig):
    name = "shop.measuring"
    label = "measuring"
    verbose_name = gettext_lazy("Measuring")
    default_auto_field = "django.db.models.BigAutoField"

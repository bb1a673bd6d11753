from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class CalculateConfig(AppConfig):
    name = "shop.calculate"
    label = "calculate"
    verbose_name = gettext_lazy("Calculations")
    default_auto_field = "django.db.models.BigAutoField"

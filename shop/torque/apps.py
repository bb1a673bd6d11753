from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class TorqueConfig(AppConfig):
    name = "shop.torque"
    label = "torque"
    verbose_name = gettext_lazy("Torque specs")
    default_auto_field = "django.db.models.BigAutoField"

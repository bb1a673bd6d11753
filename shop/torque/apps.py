from django.apps import AppConfig


class TorqueConfig(AppConfig):
    name = "shop.torque"
    label = "torque"
    verbose_name = "Torque specs"
    default_auto_field = "django.db.models.BigAutoField"

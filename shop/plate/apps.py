from django.apps import AppConfig


class PlateConfig(AppConfig):
    name = "shop.plate"
    label = "plate"
    verbose_name = "Plates"
    default_auto_field = "django.db.models.BigAutoField"

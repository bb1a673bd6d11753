from django.apps import AppConfig


class CalculateConfig(AppConfig):
    name = "shop.calculate"
    label = "calculate"
    verbose_name = "Calculations"
    default_auto_field = "django.db.models.BigAutoField"

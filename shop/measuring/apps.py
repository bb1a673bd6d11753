from django.apps import AppConfig


class MeasuringConfig(AppConfig):
    name = "shop.measuring"
    label = "measuring"
    verbose_name = "Measuring"
    default_auto_field = "django.db.models.BigAutoField"

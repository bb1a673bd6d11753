from django.apps import AppConfig


class VehiclesConfig(AppConfig):
    name = "shop.vehicles"
    label = "vehicles"
    verbose_name = "Vehicles"
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class VehiclesConfig(AppConfig):
    name = "shop.vehicles"
    label = "vehicles"
    verbose_name = gettext_lazy("Vehicles")
    default_auto_field = "django.db.models.BigAutoField"

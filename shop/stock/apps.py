from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class StockConfig(AppConfig):
    name = "shop.stock"
    label = "stock"
    verbose_name = gettext_lazy("Buying")
    default_auto_field = "django.db.models.BigAutoField"

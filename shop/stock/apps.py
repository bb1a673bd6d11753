from django.apps import AppConfig


class StockConfig(AppConfig):
    name = "shop.stock"
    label = "stock"
    verbose_name = "Buying"
    default_auto_field = "django.db.models.BigAutoField"

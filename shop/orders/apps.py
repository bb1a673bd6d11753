from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class OrdersConfig(AppConfig):
    name = "shop.orders"
    label = "orders"
    verbose_name = gettext_lazy("Orders")
    default_auto_field = "django.db.models.BigAutoField"

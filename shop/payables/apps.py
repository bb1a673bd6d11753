from django.apps import AppConfig


class PayablesConfig(AppConfig):
    name = "shop.payables"
    label = "payables"
    verbose_name = "Suppliers' invoices"
    default_auto_field = "django.db.models.BigAutoField"

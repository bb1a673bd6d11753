from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class PayablesConfig(AppConfig):
    name = "shop.payables"
    label = "payables"
    verbose_name = gettext_lazy("Suppliers' invoices")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from shop.payables.unbilled import follow_what_is_recorded

        follow_what_is_recorded()

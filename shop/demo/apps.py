from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class DemoConfig(AppConfig):
    name = "shop.demo"
    label = "demo"
    verbose_name = gettext_lazy("Demo")
    default_auto_field = "django.db.models.BigAutoField"

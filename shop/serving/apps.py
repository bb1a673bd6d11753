from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class ServingConfig(AppConfig):
    name = "shop.serving"
    label = "serving"
    verbose_name = gettext_lazy("Serving")

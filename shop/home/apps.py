from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class HomeConfig(AppConfig):
    name = "shop.home"
    label = "home"
    verbose_name = gettext_lazy("Today")
    default_auto_field = "django.db.models.BigAutoField"

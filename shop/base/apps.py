from django.apps import AppConfig


class BaseConfig(AppConfig):
    name = "shop.base"
    label = "base"
    verbose_name = "Page building"
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig


class UiConfig(AppConfig):
    name = "shop.ui"
    label = "ui"
    verbose_name = "Page building"
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig


class DemoConfig(AppConfig):
    name = "shop.demo"
    label = "demo"
    verbose_name = "Demo"
    default_auto_field = "django.db.models.BigAutoField"

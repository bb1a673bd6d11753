from django.apps import AppConfig


class ServingConfig(AppConfig):
    name = "shop.serving"
    label = "serving"
    verbose_name = "Serving"

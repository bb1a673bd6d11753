from django.apps import AppConfig


class HomeConfig(AppConfig):
    name = "shop.home"
    label = "home"
    verbose_name = "Today"
    default_auto_field = "django.db.models.BigAutoField"

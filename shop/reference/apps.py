from django.apps import AppConfig


class ReferenceConfig(AppConfig):
    name = "shop.reference"
    label = "reference"
    verbose_name = "Reference"
    default_auto_field = "django.db.models.BigAutoField"

"""The driveline knowledge base as a Django app: its tables carry the label `specs`."""

from django.apps import AppConfig


class SpecsConfig(AppConfig):
    name = "specs"
    verbose_name = "driveline knowledge"
    default_auto_field = "django.db.models.BigAutoField"

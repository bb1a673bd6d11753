"""The driveline knowledge base as a Django app: its tables carry the label `specs`."""

from django.apps import AppConfig

from specs.phrase import phrase


class SpecsConfig(AppConfig):
    name = "specs"
    verbose_name = phrase("driveline knowledge")
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig


class PlanningConfig(AppConfig):
    name = "shop.planning"
    label = "planning"
    verbose_name = "Planning"
    default_auto_field = "django.db.models.BigAutoField"

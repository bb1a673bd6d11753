from django.apps import AppConfig


class WorksheetsConfig(AppConfig):
    name = "shop.worksheets"
    label = "worksheets"
    verbose_name = "Worksheets"
    default_auto_field = "django.db.models.BigAutoField"

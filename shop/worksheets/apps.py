from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class WorksheetsConfig(AppConfig):
    name = "shop.worksheets"
    label = "worksheets"
    verbose_name = gettext_lazy("Worksheets")
    default_auto_field = "django.db.models.BigAutoField"

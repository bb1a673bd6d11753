from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class JobsConfig(AppConfig):
    name = "shop.jobs"
    label = "jobs"
    verbose_name = gettext_lazy("Jobs")
    default_auto_field = "django.db.models.BigAutoField"

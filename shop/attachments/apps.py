from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class AttachmentsConfig(AppConfig):
    name = "shop.attachments"
    label = "attachments"
    verbose_name = gettext_lazy("Attachments")
    default_auto_field = "django.db.models.BigAutoField"

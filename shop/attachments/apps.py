from django.apps import AppConfig


class AttachmentsConfig(AppConfig):
    name = "shop.attachments"
    label = "attachments"
    verbose_name = "Attachments"
    default_auto_field = "django.db.models.BigAutoField"

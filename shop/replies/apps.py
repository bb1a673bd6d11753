from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class RepliesConfig(AppConfig):
    name = "shop.replies"
    label = "replies"
    verbose_name = gettext_lazy("Replies")
    default_auto_field = "django.db.models.BigAutoField"

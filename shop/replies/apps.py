from django.apps import AppConfig


class RepliesConfig(AppConfig):
    name = "shop.replies"
    label = "replies"
    verbose_name = "Replies"
    default_auto_field = "django.db.models.BigAutoField"

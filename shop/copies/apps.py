from django.apps import AppConfig


class CopiesConfig(AppConfig):
    name = "shop.copies"
    label = "copies"
    verbose_name = "Copies"

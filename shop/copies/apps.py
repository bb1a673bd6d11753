from django.apps import AppConfig
from django.utils.translation import gettext_lazy


class CopiesConfig(AppConfig):
    name = "shop.copies"
    label = "copies"
    verbose_name = gettext_lazy("Copies")

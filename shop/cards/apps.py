from django.apps import AppConfig


class CardsConfig(AppConfig):
    name = "shop.cards"
    label = "cards"
    verbose_name = "Cards"
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext_lazy


class PlanningConfig(AppConfig):
    name = "shop.planning"
    label = "planning"
    verbose_name = gettext_lazy("Planning")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        check_country(settings.SHOP_COUNTRY, settings.SHOP_REGION)


def check_country(country: str, region: str) -> None:
    """Refuse at start what would otherwise break each page that counts working days."""
    from shop.planning.work_calendar import known_country

    if country and not known_country(country):
        raise ImproperlyConfigured(
            f"SHOP_COUNTRY is {country!r}, whose public holidays are not known; write its two letters of ISO 3166, "
            "such as DE, or leave it out and count weekends only."
        )
    if region and not (country and known_country(country, region)):
        raise ImproperlyConfigured(
            f"SHOP_REGION is {region!r}, no part of SHOP_COUNTRY {country!r} with holidays of its own; leave it out "
            "for those of the whole country."
        )

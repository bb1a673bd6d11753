from django.apps import AppConfig

from shop.base.lean_start import import_tables

import_tables()  # the first app of all: before any other asks for it


class ShopConfig(AppConfig):
    """The workshop itself: its commands, its static files and what it checks at start."""

    name = "shop"
    label = "shop"
    verbose_name = "Workshop"

    def ready(self) -> None:
        from shop import checks

        checks.watch_connections()

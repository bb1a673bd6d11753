"""The shop's own settings, and one change of the database that loses rows."""

from shop.settings import *  # noqa: F403

MIGRATION_MODULES = {"copies": "tests.upgrade.losing"}

"""The test's settings with tables straight from the models: migrating costs a minute and is not what is tried."""

from tests.settings import *  # noqa: F403


class NoMigrations:
    def __contains__(self, name: str) -> bool:
        return True

    def __getitem__(self, name: str) -> None:
        return None


MIGRATION_MODULES = NoMigrations()

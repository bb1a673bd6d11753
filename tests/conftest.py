"""What every test may use. Factories are plain functions in tests/factories/<area>.py."""

import secrets
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client, override_settings
from hypothesis import settings as hypothesis_settings

from shop.people.models import Preferences
from tests.factories.people import make_people

# A busy machine is no failure: properties are checked for truth, speed by benchmarks.
hypothesis_settings.register_profile("truth", deadline=None)
hypothesis_settings.load_profile("truth")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Draw one seed for every property of this run, here and in CI, so that each run tries other examples."""
    if config.option.hypothesis_seed is None:
        config.option.hypothesis_seed = str(secrets.randbelow(2**32))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Say which seed repeats a failed run."""
    if terminalreporter.stats.get("failed"):
        terminalreporter.write_line(f"Repeat the drawn examples with --hypothesis-seed={config.option.hypothesis_seed}")


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> None:
    """SQLite tests run on a file, as the shop does: an in-memory database has neither WAL nor a second connection."""
    database = settings.DATABASES["default"]
    if database["ENGINE"] == "django.db.backends.sqlite3":
        folder: Path = tmp_path_factory.mktemp("database")
        database.setdefault("TEST", {})["NAME"] = str(folder / "shop.sqlite3")
    else:
        request.getfixturevalue("django_db_modify_db_settings_parallel_suffix")


@pytest.fixture(autouse=True)
def files_of_the_test(tmp_path: Path, settings: Any) -> None:
    """No test writes into the shop's own folder of files, nor sees another's."""
    settings.MEDIA_ROOT = tmp_path / "kept-files"
    settings.DATA_DIR = tmp_path / "data"


@pytest.fixture(scope="module")
def files_of_the_file(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """For a test file whose records last as long as it: their files do so too."""
    with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("kept-files")):
        yield


@pytest.fixture(scope="module")
def until_the_file_ends(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """What is written is there for every test of the file, and taken back after the last."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture
def own_databases(settings: Any, django_db_blocker: Any) -> Iterator[None]:
    """For tests that bring databases of their own, made by the migrations: the run makes its tables without."""
    settings.MIGRATION_MODULES = {}
    with django_db_blocker.unblock():
        yield


@pytest.fixture
def people(db: None) -> dict[str, User]:
    """One person a role: people["fitter"]."""
    return make_people()


@pytest.fixture
def sign_in(people: dict[str, User]) -> Callable[[str], Client]:
    """A browser in which somebody of that role is signed in: sign_in("buyer").get(...)."""

    def as_role(role: str) -> Client:
        client = Client()
        client.force_login(people[role])
        return client

    return as_role


@pytest.fixture
def owner(sign_in: Callable[[str], Client]) -> Client:
    return sign_in("owner")


@pytest.fixture
def fitter(sign_in: Callable[[str], Client]) -> Client:
    return sign_in("fitter")


@pytest.fixture
def machinist(sign_in: Callable[[str], Client]) -> Client:
    return sign_in("machinist")


@pytest.fixture
def buyer(sign_in: Callable[[str], Client]) -> Client:
    return sign_in("buyer")


@pytest.fixture
def prefer(people: dict[str, User]) -> Callable[..., None]:
    """Set somebody's preferences: prefer("fitter", units="inch")."""

    def set_preferences(role: str, **changes: str) -> None:
        Preferences.objects.update_or_create(user=people[role], defaults=changes)

    return set_preferences

"""What every test may use. Factories are plain functions in tests/factories/<area>.py."""

import gc
import os
import secrets
from collections.abc import Callable, Iterable, Iterator
from hashlib import sha256
from importlib import import_module
from itertools import count
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Model
from django.test import Client, TransactionTestCase, override_settings
from hypothesis import settings as hypothesis_settings

from shop.people.models import Preferences
from tests import database
from tests.factories.people import make_people

# A busy machine is no failure: properties are checked for truth, speed by benchmarks.
hypothesis_settings.register_profile("truth", deadline=None)
hypothesis_settings.load_profile("truth")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Draw one seed for every property of this run, here and in CI, so that each run tries other examples."""
    if config.option.hypothesis_seed is None:
        config.option.hypothesis_seed = str(secrets.randbelow(2**32))


BROWSERS = frozenset({"owner", "fitter", "machinist", "buyer", "client", "sign_in"})
ASKING = frozenset({"db", "transactional_db", "live_server", "django_db_setup", "until_the_file_ends"})
# These start programs of their own, make the demo, or hold most tests: last, they would leave a worker without work.
LONG = (
    *("upgrade", "power_cut", "hammer", "test_postgres.py", "test_walk.py", "test_access.py"),
    *("shop/management", "shop/copies", "shop/serving", "shop/demo"),
)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--pages-once",
        action="store_true",
        help="of tests that open pages run every other, of those that differ only in values one: for a second database",
    )


@pytest.hookimpl(tryfirst=True)
def pytest_itemcollected(item: pytest.Item) -> None:
    """Mark what asks a database: only that need run on a second one."""
    if item.get_closest_marker("django_db") or ASKING.intersection(getattr(item, "fixturenames", ())):
        item.add_marker("database")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Where workers share the files, give out the longest first, and last those that empty the database."""
    _take_what_is_there_for_lasting()
    if os.environ.get("CI") == "true":
        _leave_out(config, items, {item for item in items if item.get_closest_marker("desk")})
    if config.option.pages_once:
        chosen = {min(alike, key=_drawn) for alike in _alike(items)}
        _leave_out(config, items, {item for item in items if item not in chosen or _is_every_other_page(item)})
    if not hasattr(config, "workerinput"):
        return
    long = tuple(str(Path(__file__).parent / name) for name in LONG)
    emptying = {item.path for item in items if _empties_the_database(item)}
    items.sort(key=lambda item: 2 if item.path in emptying else not str(item.path).startswith(long))


def _leave_out(config: pytest.Config, items: list[pytest.Item], left: set[pytest.Item]) -> None:
    if left:
        config.hook.pytest_deselected(items=list(left))
    items[:] = [item for item in items if item not in left]


def _drawn(item: pytest.Item) -> bytes:
    """A place in an order that is nobody's, the same each time for the same name."""
    return sha256(item.nodeid.encode()).digest()


def _is_every_other_page(item: pytest.Item) -> bool:
    return _opens_pages(item) and _drawn(item)[0] % 2 == 1


def _opens_pages(item: pytest.Item) -> bool:
    return bool(BROWSERS.intersection(getattr(item, "fixturenames", ())))


def _alike(items: list[pytest.Item]) -> Iterable[list[pytest.Item]]:
    """Tests of a page that differ only in their values, together; every other test by itself."""
    found: dict[str, list[pytest.Item]] = {}
    for item in items:
        found.setdefault(item.nodeid.partition("[")[0] if _opens_pages(item) else item.nodeid, []).append(item)
    return found.values()


def _take_what_is_there_for_lasting() -> None:
    """Nothing of some thousand tests and their modules will be garbage: the collector need not look at it again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


def _empties_the_database(item: pytest.Item) -> bool:
    marker = item.get_closest_marker("django_db")
    asked = {"transactional_db", "live_server"} & set(getattr(item, "fixturenames", ()))
    return bool(asked) or bool(marker and marker.kwargs.get("transaction"))


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


@pytest.fixture(scope="session")
def django_db_setup(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[None]:
    """After a test that commits, SQLite's file is put back as it was made; Django would empty and refill each table."""
    with django_db_blocker.unblock():
        database.keep_as_made(tmp_path_factory.mktemp("as-made"))
    if not database.is_file():
        yield
        return
    with patch.object(TransactionTestCase, "_fixture_teardown", lambda _: database.empty()):
        yield


@pytest.fixture(scope="module")
def demo(django_db_setup: None, django_db_blocker: Any) -> Iterator[None]:
    """The workshop of the demo is in the database until the test file ends."""
    with django_db_blocker.unblock():
        if database.is_file():
            database.fill_with_demo()
            yield
            database.empty()
            return
        with transaction.atomic():
            database.fill_with_demo()
            yield
            transaction.set_rollback(True)


@pytest.fixture(scope="module")
def kinds(files_of_the_file: None, django_db_setup: None, django_db_blocker: Any) -> dict[str, type[Model]]:
    """The kind of record at each address, for a walk over the pages (`tests.walk`)."""
    from tests.walk import kinds_of_records

    with django_db_blocker.unblock():
        return kinds_of_records()


@pytest.fixture(scope="session")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder for each who asks, made by whoever writes into it: most tests write no file."""
    files = tmp_path_factory.mktemp("files")
    return (files / str(number) for number in count())


@pytest.fixture(autouse=True)
def files_of_the_test(folders: Iterator[Path], settings: Any) -> None:
    """No test writes into the shop's own folder of files, nor sees another's."""
    folder = next(folders)
    settings.MEDIA_ROOT = folder / "kept-files"
    settings.DATA_DIR = folder / "data"


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


def signed_in(person: User, **options: Any) -> Client:
    """A browser with that person's session; signing in, with all that it records, costs six times as much."""
    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(person.pk)
    session[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[-1]
    session[HASH_SESSION_KEY] = person.get_session_auth_hash()
    session.create()
    return browser_with(session.session_key, **options)


def browser_with(session_key: str, **options: Any) -> Client:
    """A fresh browser that holds the key of a session."""
    client = Client(**options)
    client.cookies[settings.SESSION_COOKIE_NAME] = session_key
    return client


def session_keys(people: dict[str, User]) -> dict[str, str]:
    """A session for each person, for tests that ask for many pages and take each request back."""
    return {name: signed_in(person).cookies[settings.SESSION_COOKIE_NAME].value for name, person in people.items()}


@pytest.fixture
def people(db: None) -> dict[str, User]:
    """One person a role: people["fitter"]."""
    return make_people()


@pytest.fixture
def sign_in(people: dict[str, User]) -> Callable[[str], Client]:
    """A browser in which somebody of that role is signed in: sign_in("buyer").get(...)."""

    def as_role(role: str) -> Client:
        return signed_in(people[role])

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

"""How the site starts under each environment: what it refuses, and what it opens."""

import os
import runpy
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from unittest.mock import patch

import pytest
from django.core.exceptions import ImproperlyConfigured

from shop.planning.apps import check_country

ROOT = Path(__file__).parent.parent.parent
KEY = "k3y-" * 5 + "long-enough-for-a-secret-of-production"
PRODUCTION = {"SHOP_SECRET_KEY": KEY, "SHOP_HOSTS": "workshop.example"}


def environment_of(folder: Path, environment: dict[str, str]) -> dict[str, str]:
    """What is set for a site of that folder: nothing of this process's own site."""
    kept = {
        name: value for name, value in os.environ.items() if not name.startswith(("SHOP_", "DJANGO_", "DATABASE_URL"))
    }
    ours = {"SHOP_DATA": str(folder), "PYTHONWARNINGS": "error", "DJANGO_SETTINGS_MODULE": "shop.settings"}
    return {**kept, **ours, **environment}


def start(folder: Path, *command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    given = environment_of(folder, environment)
    return subprocess.run([sys.executable, *command], cwd=ROOT, env=given, capture_output=True, text=True, timeout=60)


def setting(folder: Path, expression: str, **environment: str) -> str:
    """The values of an expression over the settings, read anew under that environment, or their refusal.

    In this process: to start one for each of thirty environments costs a minute.
    """
    with patch.dict(os.environ, environment_of(folder, environment), clear=True):
        try:
            settings = SimpleNamespace(**runpy.run_path(str(ROOT / "shop" / "settings.py")))
        except ImproperlyConfigured as refused:
            return str(refused)
    return " ".join(str(value) for value in eval(f"({expression},)", {"settings": settings}))


def test_production_passes_the_deployment_check(tmp_path: Path) -> None:
    ran = start(tmp_path, "manage.py", "check", "--deploy", "--fail-level", "WARNING", **PRODUCTION)
    assert ran.returncode == 0, ran.stderr
    assert "no issues" in ran.stdout


@pytest.mark.parametrize(
    "key",
    ["", "short", "x" * 60, "django-insecure-" + KEY, "change-me-" * 6, "0123456789abcdefghijklmnopqrstuvwxyz" * 2],
)
def test_production_refuses_a_key_that_is_no_secret(tmp_path: Path, key: str) -> None:
    refused = setting(tmp_path, "settings.DEBUG", **{**PRODUCTION, "SHOP_SECRET_KEY": key})
    assert "SHOP_SECRET_KEY must hold a random secret" in refused


def test_production_must_know_its_hosts(tmp_path: Path) -> None:
    assert "SHOP_HOSTS must name" in setting(tmp_path, "settings.DEBUG", SHOP_SECRET_KEY=KEY)


def test_what_the_settings_refuse_is_not_served(tmp_path: Path) -> None:
    ran = start(tmp_path, "-c", "import shop.wsgi", **PRODUCTION | {"SHOP_SECRET_KEY": ""})
    assert ran.returncode != 0
    assert "SHOP_SECRET_KEY must hold a random secret" in ran.stderr


def test_a_switch_is_yes_or_no(tmp_path: Path) -> None:
    said = setting(tmp_path, "settings.DEBUG", **PRODUCTION, SHOP_HTTPS="perhaps")
    assert "SHOP_HTTPS is 'perhaps'; write 1 or 0." in said


def test_production_cookies_travel_by_https_only_unless_told_that_there_is_none(tmp_path: Path) -> None:
    told = "settings.SESSION_COOKIE_SECURE, settings.CSRF_COOKIE_SECURE, settings.SECURE_SSL_REDIRECT, settings.DEBUG"
    assert setting(tmp_path, told, **PRODUCTION) == "True True True False"
    assert setting(tmp_path, told, **PRODUCTION, SHOP_HTTPS="0") == "False False False False"


def test_a_fresh_clone_makes_its_own_key_once_and_keeps_it_to_itself(tmp_path: Path) -> None:
    first = setting(tmp_path, "settings.SECRET_KEY", SHOP_LOCAL="1")
    assert len(first) >= 50
    assert setting(tmp_path, "settings.SECRET_KEY", SHOP_LOCAL="1") == first
    assert (tmp_path / "secret_key").stat().st_mode & 0o077 == 0


def test_local_mode_answers_this_machine_only(tmp_path: Path) -> None:
    assert setting(tmp_path, "settings.ALLOWED_HOSTS", SHOP_LOCAL="1") == "['localhost', '127.0.0.1', '[::1]']"


def test_another_database_is_a_matter_of_one_name(tmp_path: Path) -> None:
    engine = setting(
        tmp_path,
        "settings.DATABASES['default']['ENGINE'], settings.DATABASES['default']['NAME']",
        SHOP_LOCAL="1",
        DATABASE_URL="postgres://shop@127.0.0.1/workshop",
    )
    assert engine == "django.db.backends.postgresql workshop"


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("SHOP_TAX_PERCENT", "a fifth"),
        ("SHOP_TAX_PERCENT", "-1"),
        ("SHOP_TAX_PERCENT", "NaN"),
        ("SHOP_CURRENCY", "€"),
        ("SHOP_DAY_HOURS", "eight"),
        ("SHOP_DAY_HOURS", "0"),
        ("SHOP_DAY_HOURS", "inf"),
        ("SHOP_MAIL_PORT", "smtp"),
        ("SHOP_MAIL_PORT", "99999"),
    ],
)
def test_settings_that_cannot_be_are_refused_in_words(tmp_path: Path, name: str, typed: str) -> None:
    assert f"{name} is" in setting(tmp_path, "settings.DEBUG", SHOP_LOCAL="1", **{name: typed})


@pytest.mark.parametrize(
    ("given", "way"),
    [({"SHOP_LOCAL": "1"}, "console"), (PRODUCTION, "NoServer"), (PRODUCTION | {"SHOP_MAIL_HOST": "m"}, "Stepped")],
)
def test_a_served_site_without_a_mail_server_lets_mail_wait(tmp_path: Path, given: dict[str, str], way: str) -> None:
    assert way in setting(tmp_path, "settings.MAILERS['default']['BACKEND']", **given)


@pytest.mark.parametrize(("country", "region"), [("ZZ", ""), ("de", ""), ("DE", "XX"), ("", "BY")])
def test_a_country_whose_holidays_are_not_known_is_refused_in_words(country: str, region: str) -> None:
    with pytest.raises(ImproperlyConfigured, match="SHOP_REGION is" if region else "SHOP_COUNTRY is"):
        check_country(country, region)


@pytest.mark.parametrize(("country", "region"), [("", ""), ("DE", ""), ("DE", "BY")])
def test_a_country_with_known_holidays_is_taken(country: str, region: str) -> None:
    check_country(country, region)


def test_no_command_runs_with_a_country_that_is_none(tmp_path: Path) -> None:
    assert "SHOP_COUNTRY is 'ZZ'" in start(tmp_path, "manage.py", "check", SHOP_LOCAL="1", SHOP_COUNTRY="ZZ").stderr


def test_a_data_folder_that_cannot_be_made_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    ran = start(tmp_path / "file" / "data", "manage.py", "migrate", **PRODUCTION)
    assert ran.returncode == 1
    assert "Traceback" not in ran.stderr
    assert "file/data cannot be made: Not a directory. It must belong to whoever runs the site" in ran.stderr

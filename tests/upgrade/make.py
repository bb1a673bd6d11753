"""``python -m tests.upgrade.make NAME`` keeps a small database of this version, to be migrated by all later ones.

It holds one record of everything that has an address, as NAME.sqlite3.gz and NAME.sql.gz (PostgreSQL). Run it at a
release; what is there already is never made again.
"""

import gzip
import os
import subprocess
import sys
import tempfile
from pathlib import Path

FOLDER = Path(__file__).parent


def fill() -> None:
    """One person a role, and the records behind every address, in the migrated database of the settings."""
    import django

    django.setup()
    from tests.addresses import examples
    from tests.factories.people import make_people

    examples(make_people())


def _run(environment: dict[str, str], *command: str) -> None:
    subprocess.run([sys.executable, *command], check=True, env={**os.environ, **environment})


def _made(environment: dict[str, str]) -> None:
    settings = {"DJANGO_SETTINGS_MODULE": "tests.settings", **environment}
    _run(settings, "manage.py", "migrate", "--verbosity=0")
    _run(settings, "-m", "tests.upgrade.make", "--fill")


def _keep(name: str, content: bytes) -> None:
    (FOLDER / name).write_bytes(gzip.compress(content, mtime=0))


def main(name: str) -> None:
    """Make both files. Raises FileExistsError where the name is taken."""
    from tests.postgres import programs, throwaway

    if any(FOLDER.glob(f"{name}.*")):
        raise FileExistsError(f"tests/upgrade/{name}.* is there already; name another version.")
    with tempfile.TemporaryDirectory() as folder:
        _made({"SHOP_DATA": folder})
        _keep(f"{name}.sqlite3.gz", (Path(folder) / "shop.sqlite3").read_bytes())
    with tempfile.TemporaryDirectory() as folder, throwaway() as url:
        _made({"SHOP_DATA": folder, "DATABASE_URL": url})
        dump = [str(programs() / "pg_dump"), "--no-owner", "--inserts", url]
        _keep(f"{name}.sql.gz", subprocess.run(dump, check=True, capture_output=True).stdout)


if __name__ == "__main__":
    fill() if sys.argv[1] == "--fill" else main(sys.argv[1])

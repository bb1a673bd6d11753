"""On PostgreSQL too: the migrations run, and of two writers at once one is told."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.postgres import NoPostgres, throwaway

ROOT = Path(__file__).parent.parent


def run(url: str, *command: str) -> None:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("DJANGO", "PYTEST"))}
    ran = subprocess.run(
        [sys.executable, *command],
        cwd=ROOT,
        env={**kept, "SHOP_LOCAL": "1", "DATABASE_URL": url},
        capture_output=True,
        text=True,
        timeout=1200,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr


@pytest.mark.postgres
def test_migrations_demo_and_two_writers() -> None:
    try:
        with throwaway() as url:
            run(url, "manage.py", "demo", "--no-serve")
            run(url, "-m", "pytest", "-q", "tests/shop/base/test_two_connections.py")
    except NoPostgres as lack:
        pytest.fail(str(lack)) if os.environ.get("CI") == "true" else pytest.skip(str(lack))

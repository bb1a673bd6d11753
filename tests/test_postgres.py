"""The demo is made on PostgreSQL too; the migrations run there in test_schema, two writers in CI's second step."""

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


@pytest.mark.desk
@pytest.mark.postgres
def test_the_demo_is_made_there_too() -> None:
    try:
        with throwaway() as url:
            run(url, "manage.py", "demo", "--no-serve")
    except NoPostgres as lack:
        pytest.fail(str(lack)) if os.environ.get("CI") == "true" else pytest.skip(str(lack))

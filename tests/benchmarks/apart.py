"""A measurement in a process of its own, on a database that is thrown away afterwards."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from contextlib import ExitStack

from tests.postgres import throwaway


def run_apart(module: str, words: list[str], settings: str) -> int:
    """Run a module of this folder with these words and settings; how it ended. On PostgreSQL by that word."""
    with ExitStack() as stack:
        given = {"SHOP_LOCAL": "1", "DJANGO_SETTINGS_MODULE": settings}
        given["SHOP_DATA"] = stack.enter_context(tempfile.TemporaryDirectory())
        if "postgres" in words:
            given["DATABASE_URL"] = stack.enter_context(throwaway())
        command = [sys.executable, "-m", f"tests.benchmarks.{module}", *words]
        return subprocess.run(command, env={**os.environ, **given}).returncode

"""A process on SQLite holds nothing that only PostgreSQL needs, and gets it when it asks."""

import os
import subprocess
import sys

STARTED = "import django, sys; django.setup(); print('psycopg' in sys.modules); import psycopg; print(psycopg.__name__)"


def test_on_sqlite_the_driver_of_the_other_database_stays_out_until_it_is_asked_for(tmp_path):
    here = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    here |= {"DJANGO_SETTINGS_MODULE": "shop.settings", "SHOP_LOCAL": "1", "SHOP_DATA": str(tmp_path)}
    told = subprocess.run([sys.executable, "-c", STARTED], env=here, capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["False", "psycopg"]

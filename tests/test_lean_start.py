"""A process holds nothing that it may never need, and gets it when it asks."""

import os
import subprocess
import sys
from pathlib import Path

STARTED = "import django, sys; django.setup(); print('psycopg' in sys.modules); import psycopg; print(psycopg.__name__)"
READ = "import sys; print(*{name.partition('.')[0] for name in sys.modules})"
WATCHING = f"from shop.serving import request_log, supervisor; {READ}"
# What only some pages work with, each tens of megabytes or a tenth of a second; and what no served page works with.
SELDOM = (
    "reportlab segno PIL numpy scipy shapely openpyxl tablib ezdxf pint holidays icalendar imap_tools bidi"
    " arabic_reshaper pytest"
)
SERVING = """
import django
django.setup()
from django.urls import get_resolver
from shop.base.declared import load_declarations
from shop.serving.pages import load_pages
from specs.engine.calculation import calculations
load_pages(get_resolver())
load_declarations()
calculations()
"""


def top_modules(code: str, folder: Path) -> set[str]:
    """The packages that a process has read after this code."""
    here = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    here |= {"DJANGO_SETTINGS_MODULE": "shop.settings", "SHOP_LOCAL": "1", "SHOP_DATA": str(folder)}
    told = subprocess.run([sys.executable, "-c", code], env=here, capture_output=True, text=True, check=True)
    return set(told.stdout.split())


def test_the_process_that_watches_the_others_reads_nothing_of_the_site(tmp_path: Path) -> None:
    read = top_modules(WATCHING, tmp_path)
    assert "shop" in read
    assert not read & {"django", "gunicorn", "specs", *SELDOM.split()}


def test_what_serves_pages_begins_without_what_few_pages_need(tmp_path: Path) -> None:
    read = top_modules(SERVING + READ, tmp_path)
    assert {"django", "gunicorn"} <= read
    assert not read & set(SELDOM.split())


def test_on_sqlite_the_driver_of_the_other_database_stays_out_until_it_is_asked_for(tmp_path):
    here = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    here |= {"DJANGO_SETTINGS_MODULE": "shop.settings", "SHOP_LOCAL": "1", "SHOP_DATA": str(tmp_path)}
    told = subprocess.run([sys.executable, "-c", STARTED], env=here, capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["False", "psycopg"]

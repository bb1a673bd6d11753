"""What a process reads before it can answer: every page, and none of the large libraries that few pages need."""

import json
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[3]
LATER = (
    "numpy",
    "scipy",
    "reportlab",
    "shapely",
    "openpyxl",
    "holidays",
    "ezdxf",
    "fontTools",
    "pint",
    "markdown_it",
)
READ = f"""
import json, sys, django; django.setup()
from django.urls import get_resolver
from shop.serving.pages import load_pages
load_pages(get_resolver())
print(json.dumps([name for name in {LATER} if name in sys.modules]))
"""


def test_what_draws_and_computes_is_left_until_a_page_needs_it(tmp_path):
    given = {"SHOP_LOCAL": "1", "SHOP_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "shop.settings"}
    done = subprocess.run(
        [sys.executable, "-c", READ], cwd=ROOT, env={**os.environ, **given}, capture_output=True, text=True, check=True
    )
    assert json.loads(done.stdout) == []

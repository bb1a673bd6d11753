"""The site in a language whose words are two fifths longer: nothing is cut, leaves the page or lies on something else.

At the gate six pages; every address of the demo: ``python -m pytest -m desk tests/browser/test_longer_language.py``.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from django.contrib.auth.models import User
from playwright.sync_api import Browser, Page

from tests.browser.conftest import session_of
from tests.browser.longer import given_way
from tests.browser.test_every_page import NARROW, WIDE, addresses_of, open_as_page
from tests.database import fill_with_demo
from tests.pseudo import in_pseudo
from tests.walk import Walk, kinds_of_records

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MAIN = ("home:today", "jobs:job", "jobs:step", "orders:order", "worksheets:worksheet", "planning:late")


@contextmanager
def opened(chromium: Browser, site: Any) -> Iterator[Page]:
    """The demo's site in the longer language, as its owner opens it."""
    with in_pseudo():
        context = chromium.new_context(base_url=site.url, locale="en-GB")
        context.add_cookies([session_of(User.objects.get(username="hedda"), site.url)])
        try:
            yield context.new_page()
        finally:
            context.close()


def faults_of(page: Page, pages: dict[str, str], shoot: Any) -> list[str]:
    found, seen = [], 0
    for name, address in pages.items():
        if not address or not open_as_page(page, address):
            continue
        seen += 1
        for size in (NARROW, WIDE):
            page.set_viewport_size(size)
            shoot(page, f"{name.replace(':', '-')}-{size['width']}")
            found += [f"{name} {size['width']}: {fault}" for fault in given_way(page)]
    print(f"{seen} pages, two widths")
    assert seen
    return found


def pages_of_the_demo() -> dict[str, str]:
    kinds = kinds_of_records()
    fill_with_demo()
    return addresses_of(Walk(kinds))


def test_the_main_pages_hold_longer_words(chromium: Browser, live_server: Any, shoot: Any) -> None:
    pages = pages_of_the_demo()
    with opened(chromium, live_server) as page:
        faults = faults_of(page, {name: pages[name] for name in MAIN}, shoot)
    assert not faults, "\n".join(faults)


@pytest.mark.desk
def test_every_page_holds_longer_words(chromium: Browser, live_server: Any, shoot: Any) -> None:
    wanted = os.environ.get("SHOP_PAGES", "")
    pages = {name: address for name, address in pages_of_the_demo().items() if name.startswith(wanted)}
    with opened(chromium, live_server) as page:
        faults = faults_of(page, pages, shoot)
    assert not faults, "\n".join(faults)

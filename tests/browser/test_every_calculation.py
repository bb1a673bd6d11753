"""Every calculation and every question with its example, on a phone and at a desk, by day, by night and on paper."""

import os
from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page

from shop.calculate.address import as_address
from specs.engine.calculation import calculations
from specs.engine.question import questions
from tests.browser.conftest import PHONE

PAGES = {name: ("calculate:calculation", found.example) for name, found in calculations().items()}
PAGES |= {name: ("calculate:question", found.example) for name, found in questions().items()}
# They share their templates: the gate looks at every eighth, a desk at all of them.
LOOKED_AT = list(PAGES)[:: 8 if os.environ.get("CI") == "true" else 1]


@pytest.mark.parametrize("name", LOOKED_AT)
def test_it_fits_the_screen_and_is_accessible_by_day_and_by_night(
    name: str,
    open_page: Callable[..., Page],
    faults_of: Callable[..., list[str]],
) -> None:
    address_name, example = PAGES[name]
    page = open_page(
        f"{reverse(address_name, args=[name])}?{as_address(example).urlencode()}", role="fitter", size=PHONE
    )

    assert page.locator("section.result").count()
    assert faults_of(page, name) == []
    _print(page, name)


def _print(page: Page, name: str) -> None:
    """Keep the page as the browser prints it, where pictures are kept."""
    if folder := os.environ.get("SHOP_SHOTS"):
        page.emulate_media(color_scheme="light")
        page.pdf(path=f"{folder}/{name}.pdf", format="A4")

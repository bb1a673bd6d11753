"""Every address of the demo as its owner sees it, in four dresses: by axe, its width, its keys and as a picture.

By hand: ``SHOP_SHOTS=pictures python -m pytest -m desk tests/browser/test_every_page.py``, then
``python -m tests.contact_sheets pictures`` for sheets of eight pages. ``SHOP_PAGES=orders`` looks at those alone.
"""

import os
from collections.abc import Iterator
from functools import partial
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.template.loader import render_to_string
from django.urls import reverse
from playwright.sync_api import Browser, Error, Page

from shop.base.shop_details import shop
from tests.addresses import Address, examples
from tests.browser.conftest import LOOKS, session_of
from tests.browser.tab_stops import unreached
from tests.database import empty, fill_with_demo
from tests.factories.people import make_people
from tests.walk import ADDRESSES, Walk, kinds_of_records

pytestmark = [pytest.mark.browser, pytest.mark.desk]

WIDE, NARROW = {"width": 1440, "height": 900}, {"width": 390, "height": 844}
REFUSALS = ("400", "403", "403_csrf", "404", "405", "409", "413", "500", "503")
WANTED = os.environ.get("SHOP_PAGES", "")


def addresses_of(walk: Walk) -> dict[str, str]:
    """Each address that is opened as a page, by its name: of the demo's first record that has it, or empty."""
    opened = [each for each in ADDRESSES if "GET" in each.methods and each.name.startswith(WANTED)]
    return {each.name: next(filter(partial(opens, walk), records_of(walk, each)), "") for each in opened}


def records_of(walk: Walk, address: Address) -> Iterator[str]:
    return (reverse(address.name, kwargs=parts) for parts in walk.records(address))


def opens(walk: Walk, at: str) -> bool:
    """Whether a record has such a page: only a worksheet of a plate has holes to leave out."""
    walk.send("get", at)
    return bool(walk.status != 404)


def looks(page: Page, name: str, violations: Any, shoot: Any) -> Iterator[str]:
    """What is wrong with an open page, a line each: by every rule once, by those of colour and size in each dress."""
    for at, (size, scheme) in enumerate((s, c) for s in (WIDE, NARROW) for c in ("light", "dark")):
        page.set_viewport_size(size)
        page.emulate_media(color_scheme=scheme)
        shoot(page, f"{size['width']}-{scheme}-{name.replace(':', '-')}")
        dress = f"{name} {size['width']} {scheme}"
        yield from (f"{dress}: {one}" for one in violations(page, LOOKS if at else ()))
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > size["width"]:
            yield f"{dress}: {wide} px wide"
    page.set_viewport_size(WIDE)
    yield from (f"{name} by Tab: {one}" for one in unreached(page))


def open_as_page(page: Page, address: str) -> bool:
    """Open an address; False where it is a file.

    It must not be refused, but by a page that says what is in the way: a plate not to be cut gives no hole table (409).
    """
    try:
        answer = page.goto(address)
    except Error:
        return False
    assert answer is not None
    is_page = answer.headers.get("content-type", "").startswith("text/html")
    assert answer.ok or answer.status == 409 or not is_page, (address, answer.status)
    return is_page


@pytest.mark.django_db(transaction=True)
def test_no_page_has_a_barrier_in_any_dress(chromium: Browser, live_server: Any, violations: Any, shoot: Any) -> None:
    kinds = kinds_of_records()
    fill_with_demo()
    context = chromium.new_context(base_url=live_server.url, locale="en-GB")
    page, faults, seen = context.new_page(), [], []

    def visit(pages: dict[str, str], reader: User) -> None:
        context.add_cookies([session_of(reader, live_server.url)])
        for name, address in pages.items():
            if open_as_page(page, address):
                seen.append(name)
                faults.extend(looks(page, name, violations, shoot))

    pages = addresses_of(Walk(kinds))
    visit({name: address for name, address in pages.items() if address}, User.objects.get(username="hedda"))
    empty()
    people = make_people()
    made = examples(people)
    visit({name: reverse(name, kwargs=made[name]) for name in pages if not pages[name]}, people["owner"])
    for refusal in REFUSALS if not WANTED else ():
        words = render_to_string(f"{refusal}.html", {"shop_name": shop().name, "title": "Refused"})
        page.route(f"**/{refusal}", lambda route, _, words=words: route.fulfill(body=words, content_type="text/html"))
        page.goto(f"/{refusal}")
        faults.extend(looks(page, f"refused:{refusal}", violations, shoot))
    context.close()
    print(f"{len(seen)} pages in four dresses")
    assert not faults, "\n".join(faults)
    assert len(seen) > (0 if WANTED else 180)

"""The five places, and where each page belongs."""

import re
from functools import partial
from typing import Any

import pytest

from shop.base.menu import PLACES, all_pages, entries, menu
from shop.base.roles import may
from tests.addresses import Address, addresses
from tests.conftest import signed_in


def lit(links) -> list[str]:
    return [link.words for link in links if link.here]


@pytest.mark.parametrize(
    ("path", "place", "page"),
    [
        ("/", "Today", "Today"),
        ("/planning/ready/", "Today", "Ready work"),
        ("/jobs/3/", "Jobs", "Jobs"),
        ("/jobs/steps/3/", "Jobs", "Steps"),
        ("/jobs/templates/steps/3/edit/", "Jobs", "Job templates"),
        ("/planning/forecast/", "Jobs", "Forecast"),
        ("/vehicles/customers/2/", "Jobs", "Customers"),
        ("/planning/late/", "Buying", "Late parts"),
        ("/planning/line/4/", "Buying", "Late parts"),
        ("/orders/suppliers/2/", "Buying", "Suppliers"),
        ("/orders/chase/2/edit/", "Buying", "Orders"),
        ("/measuring/readings/7/delete/", "Components", "Readings"),
        ("/torque/components/2/torque/new/", "Components", "Torque specs"),
        ("/plate/6/clocking/", "Calculate", "Worksheets"),
        ("/calculate/bolt-group/", "Calculate", "Calculations"),
        ("/calculate/questions/what/", "Calculate", "Questions"),
    ],
)
def test_one_place_and_one_page_are_lit(path: str, place: str, page: str) -> None:
    seen = menu(path, lambda action: True)
    assert lit(seen.places) == [place]
    assert lit(seen.pages) == [page]


NOWHERE = (
    "home:search",
    "home:help",
    "home:help-topic",
    "home:undo",
    "home:interrupted",
    "home:icon",
    "s:number",
    "planning:calendar",
    "serving:health",
)
OF_A_PLACE = [each for each in addresses().values() if each.name not in NOWHERE]


@pytest.mark.parametrize("address", OF_A_PLACE, ids=[each.name for each in OF_A_PLACE])
def test_every_page_has_its_place(address: Address) -> None:
    path = "/" + re.sub(r"<[^>]+>", "3", address.route)
    seen = menu(path, lambda action: True)
    assert len(lit(seen.pages)) + len(lit(seen.you)) == 1


def test_under_ones_own_name_the_second_line_holds_what_stands_there() -> None:
    assert "Preferences" in [link.words for link in menu("/people/3/", lambda action: True).second_line]
    assert "Preferences" not in [link.words for link in menu("/orders/", lambda action: True).second_line]


def test_where_ones_own_mail_goes_belongs_to_mail_and_calendar() -> None:
    assert lit(menu("/people/mail/", lambda action: True).you) == ["Mail and calendar"]
    assert lit(menu("/people/3/mail/", lambda action: True).you) == ["People"]


def test_every_entry_stands_in_a_place_and_nobody_sees_what_he_may_not_open() -> None:
    assert {entry.place for entry in entries()} == {*PLACES, "You"}
    words = [link.words for _, pages in all_pages(lambda action: False) for link in pages]
    assert "People" not in words
    assert "Orders" in words


def test_the_page_itself_is_told_from_what_is_below_it() -> None:
    assert [link.here for link in menu("/orders/", lambda action: True).pages if link.here] == ["page"]
    assert [link.here for link in menu("/orders/3/", lambda action: True).pages if link.here] == ["true"]


def test_a_form_stands_in_the_place_of_the_page_that_it_leads_back_to() -> None:
    seen = menu("/attachments/3/delete/", lambda action: True, "/orders/suppliers/2/")
    assert lit(seen.pages) == ["Suppliers"]
    assert lit(menu("/orders/suppliers/2/", lambda action: True, "").pages) == ["Suppliers"]


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["owner", "buyer", "fitter", "machinist"])
def test_the_menu_offers_no_page_that_refuses_its_reader(role: str, people: Any) -> None:
    client = signed_in(people[role])
    offered = [link for _, links in all_pages(partial(may, people[role])) for link in links]
    assert len(offered) > 20
    assert [str(link.words) for link in offered if client.get(link.address).status_code == 403] == []

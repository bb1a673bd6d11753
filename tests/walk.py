"""A walk over the demo: every address with every record, every form empty and with what no form expects.

``python -m tests.walk_everything`` walks all of it and prints its figures; tests/test_walk.py walks a
sample: at a desk another every day, at the gate the same each time, so that a change is refused for what it changed.
"""

from __future__ import annotations

import os
import random
import re
import time
from collections.abc import Callable, Iterator
from datetime import date
from itertools import permutations
from typing import Any

from django.db import models, transaction
from django.test import Client

from shop.jobs.models import JobTorque
from shop.plate.layout import PLATE
from shop.print.kinds import sheet_kinds
from shop.print.models import PrintedSheet
from shop.worksheets.models import Worksheet
from specs.engine.calculation import calculations
from specs.engine.question import questions
from specs.models import HolePattern
from tests.addresses import Address, addresses, records_of_rooms
from tests.factories.people import make_people, make_person

EVERYTHING = os.environ.get("SHOP_WALK") == "all"
DAY = "the gate" if os.environ.get("CI") == "true" else str(date.today())
TOO_LARGE = str(2**63)
HOSTILE = (
    TOO_LARGE,
    "<script>alert(1)</script>",
    "9" * 5000,
    "-1",
    "1e999",
    "NaN",
    "\u202e’'\";--",
    "2026-13-45",
    "a" * 200_000,
)
NUL = "a\0b"
ADDRESSES = [address for address in addresses().values() if address.name != "people:sign-out"]
Parts = dict[str, Any]

_FIELD = re.compile(r'<(?:input|select|textarea|button)\b[^>]*?\bname="([^"]+)"')
_HIDDEN = re.compile(r'name="(once|version)"\s+value="([^"]*)"')
_TYPED = re.compile(
    r'<textarea(?![^>]*readonly)|<input\b(?=[^>]*type="(?:text|number|date|email|search|tel|url|time)")'
)
_CARRIED = ("once", "version", "csrfmiddlewaretoken")


class Walk:
    """An owner's browser in the workshop of the demo, and how much it asked for."""

    def __init__(self, kinds: dict[str, type[models.Model]]) -> None:
        self.kinds = kinds
        self.client = Client()
        self.client.force_login(make_person(username="walker", roles=["owner"]))
        self.pages: dict[str, str] = {}
        self.asked = 0
        self.slowest = (0.0, "")

    def records(self, address: Address) -> list[Parts]:
        """The parts of an address for every record of the demo that it can show."""
        if not address.parts:
            return [{}]
        if address.name in MANY:
            return list(MANY[address.name]())
        before = address.route.partition("<int:pk>")[0]
        if address.parts != ("pk",) or before not in self.kinds:
            return []
        return [{"pk": pk} for pk in self.kinds[before]._default_manager.order_by("pk").values_list("pk", flat=True)]

    def drawn(self, address: Address) -> list[Parts]:
        """All of them, or one."""
        every = self.records(address)
        return every if EVERYTHING or not every else [random.Random(f"{DAY}{address.name}").choice(every)]

    def send(self, method: str, at: str, sent: Any = None) -> str:
        """Send a request and take back whatever it wrote. A broken page fails, naming the address and what was sent."""
        began = time.process_time()
        with transaction.atomic():
            response = getattr(self.client, method)(at, sent or {})
            streaming = getattr(response, "streaming", False)
            content = b"".join(response.streaming_content) if streaming else response.content
            transaction.set_rollback(True)
        self.asked += 1
        self.slowest = max(self.slowest, (time.process_time() - began, f"{method} {at}"))
        unwell = at.startswith("/health/") and response.status_code == 503  # No copy of this shop was ever proven.
        assert response.status_code < 500 or unwell, (method, at, sent, response.status_code)
        self.status, self.kind, self.content = response.status_code, response.get("Content-Type", ""), content
        return content.decode(errors="replace")

    def page(self, at: str) -> str:
        """What stands at an address: read once, since nothing that is sent stays written."""
        if at not in self.pages:
            self.pages[at] = self.send("get", at)
        return self.pages[at]

    def send_every_form(self, at: str, page: str) -> None:
        """Send what stands on a page empty, then with one hostile value in every field, fields and buttons alike."""
        carried = dict(_HIDDEN.findall(page))
        names = field_names(page)
        self.send("post", at)
        self.send("post", at, carried)
        for hostile in HOSTILE if EVERYTHING else random.Random(f"{DAY}{at}").sample(HOSTILE, 1):
            self.send("post", at, {**dict.fromkeys(names, hostile), **carried})
        self.send("post", at, {**dict.fromkeys(names, NUL), **carried})
        assert not names or self.status in (400, 405), (at, "a NUL character was taken")


def field_names(page: str) -> list[str]:
    """The names of all that a page's forms send, but for what they carry unseen."""
    return [name for name in dict.fromkeys(_FIELD.findall(page)) if name not in _CARRIED]


def without_way_out(page: str) -> list[str]:
    """The forms of a page in which something is typed, where the page has no *Cancel*."""
    main = page.partition("<main")[2]
    forms = re.findall(r"<form\b(?=[^>]*\bmethod=.post)[^>]*>.*?</form>", main, re.S)
    return [] if re.search(r">\s*Cancel\s*</a>", main) else [form[:200] for form in forms if _TYPED.search(form)]


def undrafted(page: str) -> list[str]:
    """The forms of a page in which something is typed, and of which the browser would keep no draft."""
    forms = re.findall(r"<form\b(?=[^>]*\bmethod=.post)[^>]*>.*?</form>", page, re.S)
    return [form[:200] for form in forms if "data-draft=" not in form.partition(">")[0] and _TYPED.search(form)]


_FIGURE_CELL = re.compile(r'<(td|div|dd|span|b)\b[^>]*class="[^"]*\b(?:number|figure)\b[^>]*>(.*?)</\1>', re.S)
_NEGATIVE = re.compile(r"(?<![\w.,/:-])-(?=\d)")


def hyphens_for_minus(page: str) -> list[str]:
    """The figures of a page, in cells for figures or alone in an element, that have a hyphen for a minus sign."""
    main = re.sub(r"<(textarea|option|pre|script)\b.*?</\1>", "", page.partition("<main")[2], flags=re.S)
    cells = [re.sub(r"<[^>]*>", "", inside) for _, inside in _FIGURE_CELL.findall(main)]
    alone = [text for text in re.findall(r">([^<>]+)<", main) if re.match(r"\s*-\d", text)]
    return [" ".join(text.split()) for text in [*cells, *alone] if _NEGATIVE.search(text)]


def kinds_of_records() -> dict[str, type[models.Model]]:
    """Of which kind the records behind each address are, from those that the access tests make for it.

    Without the demo in the database, which gives its orders the same numbers.
    """
    with transaction.atomic():
        records, _ = records_of_rooms(make_people())
        transaction.set_rollback(True)
    return {before: type(record) for before, record in records.items()}


def _compared() -> Iterator[Parts]:
    for component in HolePattern.objects.values_list("component", flat=True).distinct().order_by():
        keys = HolePattern.objects.filter(component=component).values_list("pk", flat=True)
        yield from ({"pk": one, "other": other} for one, other in permutations(keys, 2))


def _sheets() -> Iterator[Parts]:
    for kind in sheet_kinds().values():
        yield from ({"kind": kind.name, "pk": pk} for pk in kind.model._default_manager.values_list("pk", flat=True))


def _plate_files() -> Iterator[Parts]:
    for pk in Worksheet.objects.filter(calculation=PLATE).values_list("pk", flat=True):
        for side in ("engine", "gearbox"):
            yield from ({"pk": pk, "side": side, "form": form} for form in ("csv", "dxf"))


# The parts of addresses that have others than a record's number.
MANY: dict[str, Callable[[], Iterator[Parts]]] = {
    "s:number": lambda: ({"number": number} for number in PrintedSheet.objects.values_list("number", flat=True)),
    "measuring:pattern-compare": _compared,
    "calculate:calculation": lambda: ({"name": name} for name in calculations()),
    "calculate:question": lambda: ({"name": name} for name in questions()),
    "worksheets:worksheet-new-of": lambda: ({"calculation": name} for name in calculations()),
    "jobs:sign-off-torque": lambda: (
        {"pk": torque.step_id, "torque": torque.pk} for torque in JobTorque.objects.exclude(step=None)
    ),
    "print:sheet-new": _sheets,
    "print:plate-file": _plate_files,
}

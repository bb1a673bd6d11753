"""A month of buying in Chromium, on the demo as the README's first command serves it, through its forms alone.

30 orders, 60 parcels, 5 returns, 2 suppliers that stay silent, one that goes under, past orders of 5,000 rows of which
7 are wrong; invoices, payments and the money owed. What the buyer reads is read off the pages. At a desk, by command.
"""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from shop.demo.world import PASSWORD
from tests.demo import ROOT, demo_file

pytestmark = [pytest.mark.browser, pytest.mark.desk]

MAKERS = [f"Maker {letter}" for letter in "ABCDEF"]
SILENT, BROKE = MAKERS[3:5], MAKERS[5]
GOOD = MAKERS[:3]
HEAD = "supplier,reference,ordered_on,part,quantity,price"
TODAY = date.today()


def day(offset: int) -> str:
    return (TODAY + timedelta(days=offset)).isoformat()


@pytest.fixture
def site(tmp_path: Path) -> Iterator[str]:
    """The demo in a folder of its own, served by its own command."""
    shutil.copy(demo_file(), tmp_path / "shop.sqlite3")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port = taken.getsockname()[1]
    kept = {name: text for name, text in os.environ.items() if not name.startswith(("DJANGO", "PYTEST", "DATABASE"))}
    given = {**kept, "SHOP_LOCAL": "1", "SHOP_DATA": str(tmp_path)}
    command = [sys.executable, "manage.py", "demo", "--port", str(port)]
    with (tmp_path / "said").open("wb") as said:
        server = subprocess.Popen(command, cwd=ROOT, env=given, stdout=said, stderr=said)
    try:
        for _ in range(300):
            try:
                socket.create_connection(("127.0.0.1", port), 1).close()
                break
            except OSError:
                assert server.poll() is None, (tmp_path / "said").read_text()
                time.sleep(0.2)
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        server.wait(20)


class Buyer:
    """The buyer at a desk: opens pages, types, presses, and counts what was pressed."""

    def __init__(self, page: Page) -> None:
        self.page, self.presses, self.tax = page, 0, Decimal(0)

    def open(self, address: str) -> None:
        self.page.goto(address)

    def type(self, **typed: str) -> None:
        for name, text in typed.items():
            box = self.page.get_by_role("main").locator(f'[name="{name}"]')
            if not box.is_visible():  # folded away, as what is seldom typed is
                fold = box.locator("xpath=ancestor::details[not(@open)]").first
                fold.locator("summary").first.click()
            if box.evaluate("one => one.tagName") == "SELECT":
                box.select_option(label=text)
            else:
                box.fill(text)

    def press(self, name: str, role: str = "button") -> None:
        self.page.get_by_role("main").get_by_role(role, name=name, exact=True).first.click()
        self.presses += 1

    def menu(self, name: str) -> None:
        """Press a place of the menu."""
        self.page.get_by_role("navigation").get_by_role("link", name=name, exact=True).first.click()
        self.presses += 1

    def words(self) -> str:
        return " ".join(self.page.get_by_role("main").inner_text().split())

    def saved(self) -> None:
        """Nothing was refused."""
        expect(self.page.locator(".errors")).to_have_count(0)


@pytest.fixture
def buyer(chromium: Browser, site: str) -> Iterator[Buyer]:
    context = chromium.new_context(base_url=site, viewport={"width": 1440, "height": 900})
    page = context.new_page()
    page.set_default_timeout(60_000)
    found = Buyer(page)
    found.open("/people/sign-in/")
    found.page.get_by_label("Name").fill("wren")
    found.page.get_by_label("Password", exact=True).fill(PASSWORD)
    found.page.get_by_role("main").get_by_role("button").first.click()
    yield found
    context.close()


def place(buyer: Buyer, number: int) -> str:
    """One order of four lines, pasted from a sheet; return its address."""
    buyer.open("/orders/new/")
    rows = "\n".join(f"part {number}-{at}\t4\t12.50" for at in range(4))
    buyer.type(supplier=MAKERS[number % 6], ordered_on=day(-30), rows=f"part\tquantity\tprice\n{rows}")
    buyer.press("Fill in the lines")
    buyer.tax = Decimal(buyer.page.locator('[name="tax_percent"]').input_value())
    buyer.press("Save")
    buyer.saved()
    expect(buyer.page).to_have_url(re.compile(r"/orders/\d+/"))
    return re.search(r"/orders/\d+/", buyer.page.url)[0]


def count_presses(buyer: Buyer) -> None:
    """From Today to 20 lines ordered: 6 presses at most; a call is one form; receiving all of it 3 at most."""
    buyer.open("/")
    buyer.presses = 0
    buyer.menu("Buying")
    buyer.menu("Orders")
    buyer.press("Add order", "link")
    rows = "\n".join(f"bracket {at}\t2\t3.40" for at in range(20))
    buyer.type(supplier=MAKERS[0], rows=f"part\tquantity\tprice\n{rows}")
    buyer.press("Fill in the lines")
    buyer.press("Save")
    buyer.saved()
    expect(buyer.page).to_have_url(re.compile(r"/orders/\d+/"))
    order = re.search(r"/orders/\d+/", buyer.page.url)[0]
    assert buyer.words().count("bracket") >= 20
    assert buyer.presses <= 6, f"an order of 20 lines took {buyer.presses} presses"
    buyer.presses = 0
    call(buyer, order, said="tomorrow, all of it", on=day(1), again=day(2), answered=0)
    assert buyer.presses == 1, "one call is one form"
    buyer.open(order)
    buyer.presses = 0
    buyer.press("All of it came")
    buyer.saved()
    assert buyer.presses <= 3, f"receiving took {buyer.presses} presses"
    expect(buyer.page.get_by_role("main")).not_to_contain_text("All of it came")


def call(buyer: Buyer, order: str, *, said: str = "", on: str = "", again: str = "", answered: int = -29) -> None:
    """One telephone call, one form."""
    buyer.open(f"{order}chase/")
    buyer.type(answer=said, answered_on=day(answered) if said else "", on=day(answered), ask_again_on=again)
    if on:
        buyer.type(day=on)
        for box in buyer.page.locator('[name="lines"]').all():
            box.check()
    buyer.press("Save")
    buyer.saved()


def receive(buyer: Buyer, order: str, first: bool, bad: bool) -> int:
    """Four parcels of an order: three by line, of one of which a piece is torn, then all the rest; return how many."""
    names = []
    for at in range(3):
        buyer.open(f"{order}delivery/")
        names = names or [box.get_attribute("name") for box in buyer.page.locator('[name^="line_"]').all()]
        buyer.type(**{names[at]: "4"})
        if bad and at == 0:
            key = names[0].removeprefix("line_")
            buyer.type(**{f"bad_{key}": "1", f"why_{key}": "thread torn"})
            buyer.page.get_by_label("paid back").check()
        buyer.press("Save")
        buyer.saved()
        if bad and at == 0:
            expect(buyer.page.get_by_label("Text")).to_contain_text("thread torn")
            buyer.page.get_by_label("print it as a letter").check()
            buyer.press("Send or print")
            buyer.saved()
    buyer.open(order)
    buyer.press("All of it came")
    buyer.saved()
    return 4


def bill(buyer: Buyer, order: str, number: int, amount: str) -> None:
    """A right invoice is one form: its number and its total; the lines are filled in."""
    buyer.open(order)
    buyer.press("add one", "link")
    buyer.type(number=f"R {number}", amount=amount)
    buyer.press("Save")
    buyer.saved()
    expect(buyer.page).to_have_url(re.compile(r"/payables/\d+/"))


def past_orders(wrong: bool) -> str:
    """5,000 rows of 1,250 past orders; seven of them name a price that is no number."""
    rows = [
        f"Old maker {order % 40},P-{order},{day(-60 - order % 600)},part {order}-{at},2,12.50"
        for order in range(1250)
        for at in range(4)
    ]
    for at in range(100, 4900, 700) if wrong else ():
        rows[at] = rows[at].replace(",12.50", ",twelve")
    return "\n".join([HEAD, *rows])


def look_at(buyer: Buyer, rows: str) -> None:
    """Choose a file of past orders and see what it would do."""
    file = {"name": "past.csv", "mimeType": "text/csv", "buffer": rows.encode()}
    buyer.page.locator('[name="file"]').set_input_files(file)  # type: ignore[arg-type]
    buyer.press("Check the file")


def test_a_month_of_buying(buyer: Buyer, shoot) -> None:  # type: ignore[no-untyped-def]
    for maker in MAKERS:
        buyer.open("/orders/suppliers/new/")
        buyer.type(name=maker, email=f"sales@{maker.lower().replace(' ', '-')}.example")
        buyer.press("Save")
        buyer.saved()
    count_presses(buyer)
    orders = [place(buyer, number) for number in range(30)]
    maker_of = {order: MAKERS[number % 6] for number, order in enumerate(orders)}
    shoot(buyer.page, "month-order")
    for order, maker in maker_of.items():
        if maker in SILENT:
            call(buyer, order, again=day(-2))
        else:
            call(buyer, order, said="in three weeks", on=day(-9))
    good = [order for order, maker in maker_of.items() if maker in GOOD]
    parcels = sum(receive(buyer, order, at == 0, at < 5) for at, order in enumerate(good))
    assert parcels == 60
    buyer.open("/orders/suppliers/")
    buyer.page.get_by_role("link", name=BROKE).first.click()
    shoot(buyer.page, "month-supplier")
    buyer.page.get_by_role("link", name=re.compile("^Edit")).first.click()
    buyer.type(insolvent_on=day(0))
    buyer.press("Save")
    buyer.saved()

    buyer.open("/planning/late/?rows=200")
    shoot(buyer.page, "month-late")
    late = buyer.words()
    for maker in [*SILENT, BROKE]:
        assert maker in late, "nobody forgets an order that nobody answers for"
    assert "supplier insolvent" in late
    assert "part 0-0" not in late, "what came is asked about no more"
    buyer.open("/")
    shoot(buyer.page, "month-today")
    assert re.search(r"Owed to us \d", buyer.words())
    buyer.open("/orders/owed/")
    shoot(buyer.page, "month-owed")
    assert buyer.words().count("thread torn") == 5

    for number, order in enumerate(good):
        # The price of what came and was kept; the first supplier bills what went back as well, and the pallet.
        net, pallet = Decimal("187.50" if 0 < number < 5 else "200.00"), 7 if number == 0 else 0
        bill(buyer, order, number, f"{net * (100 + buyer.tax) / 100 + pallet:.2f}")
    shoot(buyer.page, "month-invoice")
    buyer.open("/payables/?paid=no&words=R+0")
    buyer.page.get_by_role("link", name="R 0", exact=True).click()
    above = Decimal("12.50") * (100 + buyer.tax) / 100 + 7
    assert f"EUR {above:.2f} above what was delivered" in buyer.words()
    buyer.press("Mark as paid", "link")
    buyer.press("Mark as paid")
    assert "Tick, and say why, to pay it so." in buyer.words(), "it is not paid without being asked"
    buyer.page.get_by_label("Pay it although it differs").check()
    buyer.type(reason="the pallet is ours to pay; the piece is credited")
    buyer.press("Mark as paid")
    buyer.saved()
    for number in range(1, 15):
        buyer.open(f"/payables/?paid=no&words=R+{number}")
        buyer.page.get_by_role("link", name=f"R {number}", exact=True).click()
        buyer.press("Mark as paid", "link")
        buyer.press("Mark as paid")
        buyer.saved()
        expect(buyer.page.get_by_role("main")).to_contain_text("Take the payment back")
    buyer.open("/payables/")
    shoot(buyer.page, "month-invoices")

    buyer.open("/orders/owed/")
    assert buyer.words().count("thread torn") == 1, "four were never billed: no money for them is to come"
    while buyer.page.get_by_text("thread torn").count():
        row = buyer.page.get_by_role("listitem").filter(has_text="thread torn").first
        row.get_by_role("link", name="Record payment").click()
        buyer.press(buyer.page.get_by_role("main").get_by_role("button").last.inner_text())
        buyer.saved()
        buyer.open("/orders/owed/")
    assert "thread torn" not in buyer.words()

    buyer.open("/orders/import/")
    look_at(buyer, past_orders(wrong=True))
    assert "7 things to put right; nothing was written" in buyer.words()
    shoot(buyer.page, "month-import")
    look_at(buyer, past_orders(wrong=False))
    assert "1250 orders, 5000 rows" in buyer.words()
    buyer.press("Import orders")
    ended = buyer.page.get_by_role("main").get_by_role("link", name="Continue")
    expect(ended).to_be_visible(timeout=600_000)
    assert "1250 orders were brought in" in buyer.words()
    ended.click()
    buyer.open("/orders/?words=P-1249")
    assert "P-1249" in buyer.words()
    buyer.open("/planning/to-order/")
    shoot(buyer.page, "month-to-order")
    print(f"{buyer.presses} presses besides links in lists and typing")

"""Figures and days are written as their reader chose, from one home, and read back as they were meant."""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone
from django.utils.translation import gettext, override

from shop.base import written
from shop.base.fields import UnitField
from shop.base.numbers import AmountField
from shop.base.unchanged import while_unchanged
from shop.print.models import PrintedSheet
from shop.print.sheet_frame import moment_of
from shop.print.sheet_state import sheet_state
from specs.engine import units
from specs.written import PLAIN, WrittenForm, written_as
from tests.factories.measuring import make_dimension, make_reading
from tests.factories.orders import make_line
from tests.pages import press, words_of
from tests.pseudo import CODE, in_pseudo, pseudo

ROOT = Path(__file__).parents[3]
MARCH = date(2026, 3, 2)
GERMAN, AMERICAN = WrittenForm(",", "dot"), WrittenForm(".", "slash")
# What another program reads, and what a form, a file's name or an address is made of: always plain.
PLAIN_ALWAYS = {
    "shop/calculate/part_address.py",
    "shop/environment.py",
    "shop/base/formats/en_GB/formats.py",
    "shop/base/spreadsheets.py",
    "shop/base/sheets.py",
    "shop/base/forms.py",
    "shop/base/fields.py",
    "shop/copies/bring_back.py",
    "shop/copies/names.py",
    "shop/copies/postgres.py",
    "shop/management/commands/restore.py",
    "shop/orders/bulk.py",
    "shop/orders/letter_days.py",
    "shop/orders/forms/order_filling.py",
    "shop/orders/importing.py",
    "shop/measuring/forms/datum.py",
    "shop/measuring/forms/holes.py",
    "shop/measuring/forms/patterns.py",
    "shop/planning/bulk.py",
    "shop/planning/changes.py",
    "shop/plate/clocking.py",
    "shop/print/plate_facts.py",
    "shop/print/plate_files.py",
    "shop/print/sheet_frame.py",
    "shop/print/views/customer_letter.py",
    "shop/print/views/letter.py",
    "shop/stock/forms.py",
    "specs/calculations/clutch_engagement.py",
    "specs/drawings/svg.py",
    "specs/engine/quantities.py",
    "specs/engine/units.py",
    "specs/models/torque.py",
}


def sources(*folders: str, ending: str) -> list[tuple[str, str]]:
    found = (path for folder in folders for path in sorted((ROOT / folder).rglob(f"*.{ending}")))
    named = ((str(path.relative_to(ROOT)), path) for path in found)
    return [(name, path.read_text()) for name, path in named if "/demo/" not in name and "/migrations/" not in name]


def test_no_template_writes_a_day_or_a_figure_by_itself() -> None:
    bare = r"\{\{ [a-z_.]+(?:_on|\.on|(?:sent|written|saved|deleted|started)_at) \}\}"
    own = re.compile(bare + r"|\|\s*(?:date(?!:'Y-m-d')|time|floatformat|localize)\b|\{% now")
    written_before = re.compile(r"(?<=\s)(\w+)=[\w.]+\|\w+(?=.*?%\})")
    found = {}
    for name, text in sources("templates", ending="html"):
        named = {f"{{{{ {one} }}}}" for one in written_before.findall(text)}
        found[name] = [one for one in own.findall(text) if one not in named]
    assert {name: what for name, what in found.items() if what} == {}


def test_no_program_text_writes_a_day_or_a_figure_by_itself() -> None:
    homes = {
        "shop/base/written.py",
        "specs/written.py",
    }
    day, figure = (
        r"%-?[dbBY][ .%-]|date_format\((?!.*day_pattern)|strftime",
        r"(?<!M)\{[^{}\"]+:(?:\.[1-9][fge]|[ge]|\.\{\w+\}f)\}|normalize\(\):f",
    )
    own = re.compile(f"{day}|{figure}")  # M1.6 is a name
    found = {name: own.findall(text) for name, text in sources("shop", "specs", ending="py") if own.search(text)}
    assert {name: what for name, what in found.items() if name not in homes | PLAIN_ALWAYS} == {}


@pytest.mark.parametrize(
    ("form", "day", "near", "moment"),
    [
        (PLAIN, "2 Mar 2026", "2 Mar", "2 Mar 2026"),
        (WrittenForm(days="iso"), "2026-03-02", "03-02", "2026-03-02"),  # ISO 8601-1, 5.2.2.1
        (GERMAN, "02.03.2026", "02.03.2026", "02.03.2026"),  # "02.03." would end a sentence twice
        (AMERICAN, "03/02/2026", "03/02", "03/02/2026"),
    ],
)
def test_a_day_in_each_form_and_back_from_a_title_block(form: WrittenForm, day: str, near: str, moment: str) -> None:
    with written_as(form):
        assert (written.day(MARCH), written.day_near(MARCH, MARCH)) == (day, near)
    read = moment_of(f"{moment} 14:05")
    assert read is not None
    assert read.date() == MARCH


def test_what_stands_in_a_box_comes_back_unchanged_and_is_never_asked_about() -> None:
    """A comma before three figures may mean thousands: our own boxes never hold one."""
    field, amount = UnitField(kind="length"), AmountField(required=False)
    with written_as(GERMAN):
        for value in (0.001234, 0.0889, 1.25, 0.1, 123.456e-3):
            shown = field.prepare_value(value)
            assert "." not in shown
            assert field.clean((shown, "mm")).value == pytest.approx(value, rel=1e-11)
        for held in (Decimal("12.50"), Decimal("1.250"), Decimal("0.08"), Decimal("1250")):
            assert amount.clean(amount.prepare_value(held)) == held
        assert (amount.prepare_value(Decimal("12.50")), units.show(-0.0889, units.LENGTH)) == ("12,5", "−88,9 mm")


def test_a_negative_figure_has_the_minus_sign_on_pages_and_a_hyphen_in_files() -> None:
    with written_as(WrittenForm()):
        assert (written.num(-0.5), written.num(-2.5, ".2f")) == ("−0.5", "−2.50")
        assert written.decimals(-12.5, "3u") == "−12.500"
        assert (written.num(2.5), written.decimals(12.5, "-3u")) == ("2.5", "12.500")
    with written_as(PLAIN):
        assert written.num(-0.5) == "-0.5"


@pytest.mark.django_db(transaction=True)
def test_what_is_kept_for_one_reader_is_not_shown_to_another_of_another_form() -> None:
    @while_unchanged
    def length(of: float) -> str:
        return units.show(of, units.LENGTH)

    for _ in range(2):  # by turns, each after the other's was kept
        with written_as(GERMAN):
            assert length(0.0889) == "88,9 mm"
        assert length(0.0889) == "88.9 mm"


@pytest.mark.django_db(transaction=True)
def test_what_is_kept_for_one_reader_is_not_shown_to_another_of_another_language() -> None:
    @while_unchanged
    def said() -> str:
        return gettext("Late parts")

    with in_pseudo():
        for _ in range(2):
            with override(CODE):
                assert said() == pseudo("Late parts")
            with override("en-gb"):
                assert said() == "Late parts"


@pytest.mark.django_db
def test_two_people_read_one_page_each_in_their_own_form(owner: Client, buyer: Client, prefer) -> None:
    line = make_line(price=Decimal("12.50"))
    prefer("buyer", decimal_mark=",", date_form="iso")
    address, day = line.order.get_absolute_url(), line.order.ordered_on
    comma, point = words_of(buyer.get(address)), words_of(owner.get(address))
    own, others = ["12,50", day.isoformat()], ["12.50", f"{day.day} {day:%b %Y}"]
    assert [one in comma for one in own + others] == [True, True, False, False]
    assert [one in point for one in own + others] == [False, False, True, True]
    table = buyer.get("/orders/?as=csv").content.decode()
    assert ("12.50" in table, "12,50" in table) == (True, False)


@pytest.mark.django_db
def test_a_sheet_keeps_the_form_it_was_printed_in_and_is_current_for_everyone(fitter, prefer) -> None:
    dimension = make_dimension(name="flywheel bore")
    make_reading(dimension=dimension, value=0.0889, tolerance=0.0002)
    prefer("fitter", decimal_mark=",", date_form="dot")
    press(fitter, f"/print/new/measuring-sheet/{dimension.component.pk}/")
    sheet = PrintedSheet.objects.get()
    assert re.fullmatch(r"\d\d\.\d\d\.\d{4} \d\d:\d\d", sheet.facts["heading"]["date"])
    assert ("88,9" in str(sheet.facts), "88.9" in str(sheet.facts)) == (True, False)
    assert sheet_state(sheet, timezone.localdate()).is_current  # whoever scans its code


def test_letters_are_in_the_form_of_the_shop_and_not_of_the_clerk(settings) -> None:
    with written_as(GERMAN), written.written_as_usual():
        assert written.num(12.5) == "12.5"
    settings.SHOP_DECIMAL_MARK = ","
    with written_as(PLAIN), written.written_as_usual():
        assert written.num(12.5) == "12,5"

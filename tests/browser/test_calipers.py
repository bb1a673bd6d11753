"""A hole pattern taken with calipers on a phone: typed into the grid, seen, one reading corrected, kept."""

from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from specs.models import HolePattern
from tests.factories.measuring import make_component
from tests.shop.measuring.exact_pattern import HOLES, PLACES, all_readings

PHONE = {"width": 390, "height": 844}
HOLE, READING = ("name", "diameter", "kind"), ("first", "second", "value", "way")


def _type(page: Page, grid: str, columns: tuple[str, ...], rows: str) -> None:
    every = [row.split("\t") for row in rows.splitlines()]
    for at, column in enumerate(columns):
        boxes = page.query_selector_all(f"[name='{grid}.{column}']")
        for box, row in zip(boxes, every, strict=False):
            box.select_option(row[at]) if column in ("kind", "way") else box.fill(row[at])


def _is_whole(page: Page, table: str) -> bool:
    """Whether a table is seen without being pushed sideways."""
    region = page.get_by_role("region", name=table)
    whole = "one => one.scrollWidth <= one.clientWidth && one.getBoundingClientRect().right <= 390"
    return bool(region.evaluate(whole))


def test_a_pattern_is_taken_with_calipers_on_a_phone(
    open_page: Callable[..., Page], shoot: Callable[[Page, str], None]
) -> None:
    component = make_component()
    page = open_page(reverse("measuring:pattern-calipers", args=[component.pk]), role="machinist", size=PHONE)
    _type(page, "holes", HOLE, HOLES)
    _type(page, "distances", READING, all_readings(D2_B2=1.0))
    for label, words in {
        "Tolerance of a reading ±": "0.05",
        "Hole at x = 0, y = 0": "D1",
        "Hole on the x axis": "D2",
        "A hole above the x axis": "B1",
        "Face": "rear face",
        "Datum": "D1; x towards D2",
    }.items():
        page.get_by_label(label, exact=True).fill(words)
    page.get_by_label("Seen from").select_option("gearbox")
    page.get_by_role("button", name="Work it out and show me").click()

    expect(page.get_by_role("alert")).to_contain_text("D2 to B2, does not fit the others: take it again.")
    assert _is_whole(page, "Holes placed")
    assert _is_whole(page, "Readings against the pattern")
    wrong = page.get_by_role("row").filter(has_text="take again")
    row = wrong.get_by_role("rowheader").inner_text()
    shoot(page, "calipers-preview-390")

    right = all_readings().splitlines()[int(row) - 1].split("\t")[2]
    page.get_by_label(f"reading, row {row}", exact=True).fill(right)
    page.get_by_role("button", name="Work it out again").first.click()
    expect(page.get_by_text("take again")).to_have_count(0)
    page.get_by_role("button", name="Keep these 5 holes").click()

    expect(page.get_by_role("heading", name="Rear face")).to_be_visible()
    kept = {hole.name: (hole.x, hole.y) for hole in HolePattern.objects.get().holes.all()}
    # By the exact pattern that the readings were reckoned from.
    assert kept == {name: pytest.approx(place, abs=2e-3) for name, place in PLACES.items()}
    assert _is_whole(page, "Holes")
    shoot(page, "calipers-kept-390")

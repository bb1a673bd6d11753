"""Measuring, torque specs, hole patterns and calculations, in a browser."""

import os
from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from specs.models import HolePattern, Measurement
from tests.browser.conftest import PHONE
from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_feature,
    make_pattern,
    make_reading,
    make_torque_spec,
)

Open = Callable[..., Page]
Errors = Callable[..., list[str]]
Shoot = Callable[[Page, str], None]


@pytest.mark.parametrize("scripts", [True, False])
def test_a_fitter_measures_is_asked_about_inches_and_keeps_it(open_page: Open, shoot: Shoot, scripts: bool) -> None:
    dimension = make_dimension(name="pilot bore")
    make_reading(dimension=dimension, mm=88.9)
    address = reverse("measuring:reading-new", args=[dimension.pk])
    page = open_page(address, role="fitter", size=PHONE, scripts=scripts)
    page.get_by_label("Pilot bore").fill("3.5")
    page.get_by_label("Tolerance ±").fill("0,05")
    page.get_by_label("Instrument").fill("caliper no. 2")
    page.get_by_role("button", name="Keep this reading").click()
    expect(page.get_by_role("alert")).to_contain_text("was it read in inches?")
    shoot(page, f"measure-asked-{scripts}")
    page.get_by_label("Pilot bore").fill("3.5 in")
    page.get_by_role("button", name="Keep this reading").click()
    expect(page.get_by_role("heading", name="Working value")).to_be_visible()
    assert Measurement.objects.latest("pk").typed == "3.5 in"


def test_enter_in_a_calculation_works_it_out_and_rows_grow(open_page: Open) -> None:
    page = open_page("/calculate/axial-stack/", role="fitter", scripts=False)
    rows = page.locator("table.entry tbody tr")
    before = rows.count()
    page.get_by_role("button", name="Add rows").first.click()
    assert rows.count() > before
    page = open_page("/calculate/wrench-adapter/", role="fitter", scripts=False)
    page.get_by_label("Torque wanted at the fastener").fill("100")
    page.get_by_label("Wrench, drive to middle of the grip").fill("400")
    page.get_by_label("Adapter, drive to fastener").fill("100")
    page.get_by_label("Adapter, drive to fastener").press("Enter")
    expect(page.get_by_role("heading", name="Results")).to_be_visible()
    expect(page.locator("table.figures").first).to_contain_text("80 N·m")


def test_the_machinist_pastes_a_pattern_and_keeps_it(open_page: Open, shoot: Shoot) -> None:
    component = make_component()
    page = open_page(reverse("measuring:pattern-load", args=[component.pk]), role="machinist", scripts=False)
    page.get_by_label("Rows", exact=True).fill("D1\t-150\t0\t12\tdowel\nD2\t150\t0\t12\tdowel\nB1\t120\t90\t11\ttapped")
    page.get_by_label("Places known to ±").fill("0.05")
    page.get_by_label("Face", exact=True).fill("front face")
    page.get_by_label("Datum").fill("shaft axis")
    page.get_by_label("Seen from").select_option("gearbox")
    page.get_by_role("button", name="Read it and show me").click()
    shoot(page, "pattern-preview")
    page.get_by_role("button", name="Keep these 3 holes").click()
    expect(page.get_by_role("heading", name="Front face")).to_be_visible()
    assert HolePattern.objects.get().holes.count() == 3


def _addresses() -> list[str]:
    dimension = make_dimension()
    component = dimension.component
    make_reading(dimension=dimension)
    make_reading(dimension=dimension, mm=89.5)
    first, second = make_pattern(component=component), make_pattern(component=component)
    spec = make_torque_spec(
        component=component, published_torque=95.0, published_typed="95 Nm", published_source="Manual, p. 12"
    )
    feature = make_feature({"major diameter": (25.0, 0.1)}, component=component)
    make_feature({"major diameter": (25.1, 0.1)}, form="outer")
    keys = {
        "measuring:component": component.pk,
        "measuring:dimension": dimension.pk,
        "measuring:reading-new": dimension.pk,
        "measuring:reading-choose": dimension.pk,
        "torque:spec": spec.pk,
        "torque:spec-edit": spec.pk,
        "measuring:pattern": first.pk,
        "measuring:pattern-edit": first.pk,
        "measuring:pattern-load": component.pk,
        "measuring:pattern-calipers": component.pk,
        "measuring:pattern-datum": first.pk,
        "measuring:feature": feature.pk,
    }
    lists = [
        reverse(name)
        for name in (
            "measuring:components",
            "measuring:dimensions",
            "torque:specs",
            "measuring:patterns",
            "measuring:features",
        )
    ]
    example = "/calculate/wrench-adapter/?target=100&wrench_length=400&extension=100"
    wrong = "/calculate/fastener-torque/?thread=M10&grade=8.8&mu_thread=1,250"
    return [
        *lists,
        *(reverse(name, args=[key]) for name, key in keys.items()),
        reverse("measuring:pattern-compare", args=[first.pk, second.pk]),
        "/calculate/",
        "/calculate/axial-stack/",
        example,
        wrong,
    ]


def test_reference_pages_have_no_barriers(open_page: Open, faults_of: Errors) -> None:
    page = open_page("/", role="owner")
    for address in _addresses()[:: 3 if os.environ.get("CI") == "true" else 1]:
        page.goto(address)
        assert faults_of(page, address.split("?")[0].strip("/").replace("/", "-")) == [], address

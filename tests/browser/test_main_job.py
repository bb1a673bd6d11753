"""The main job by hand: sign in, measure, see a worksheet go out of date, accept it, print the card."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shop.jobs.models import Job
from shop.print.models import PrintedSheet
from shop.worksheets.models import AcceptedRecord, Worksheet
from specs.models import Dimension
from tests.browser.conftest import DESK, PHONE, make_pdf
from tests.factories.jobs import make_job, make_step
from tests.factories.measuring import make_component, make_dimension, make_reading
from tests.factories.worksheets import make_worksheet

Open = Callable[..., Page]


def _job_with_a_worksheet() -> tuple[Job, Worksheet, Dimension]:
    wrench = make_component(maker="Own make", name="crow's foot 17")
    reach = make_dimension(component=wrench, name="reach")
    make_reading(dimension=reach, mm=50)
    inputs = {"target": "100 N*m", "wrench_length": "400 mm", "extension": reach}
    worksheet = make_worksheet(inputs, title="Wrench setting, bellhousing", component=wrench)
    job = make_job(title="Gearbox behind the engine")
    job.worksheets.add(worksheet)
    make_step(job=job, title="Tighten the bellhousing")
    return job, worksheet, reach


def _accept(page: Page, because: str = "") -> None:
    if because:
        page.get_by_label("Reason, since it rests on readings in doubt").fill(because)
    page.get_by_role("button", name="Accept").click()
    expect(page.get_by_text("Same as accepted")).to_be_visible()


def _sign_in(page: Page, name: str) -> None:
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password", exact=True).fill(name * 2)
    page.get_by_role("main").get_by_role("button").click()


@pytest.mark.parametrize(("size", "scripts"), [(DESK, True), (PHONE, False)])
def test_from_signing_in_to_the_printed_card(open_page: Open, size: dict[str, int], scripts: bool) -> None:
    job, worksheet, reach = _job_with_a_worksheet()
    page = open_page(worksheet.get_absolute_url(), size=size, scripts=scripts)
    site = page.url.split("/people/")[0]
    _sign_in(page, "fitter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Wrench setting")
    _accept(page)

    page.goto(f"{site}/measuring/dimensions/{reach.pk}/measure/")
    page.get_by_label("Reach").fill("2 1/8 in")
    page.get_by_label("Tolerance ±").fill("0,1")
    page.get_by_label("Instrument").fill("caliper no. 2")
    page.get_by_role("button", name="Keep this reading").click()
    page.get_by_label("Yes, keep it as typed").check()
    page.get_by_role("button", name="Keep this reading").click()
    expect(page.get_by_role("heading", name="Working value")).to_be_visible()

    page.goto(site + worksheet.get_absolute_url())
    # By statics (see the calculation's own tests): 100·400/(400 + 53.975) = 88.11 N·m instead of 88.89.
    expect(page.get_by_role("main")).to_contain_text("Changed since accepted")
    expect(page.get_by_role("region", name="Now and accepted")).to_contain_text(
        re.compile(r"88\.111 N·m.*88\.889 N·m", re.DOTALL)
    )
    moved = page.get_by_role("region", name="Changed since accepted")
    expect(moved).to_contain_text(re.compile(r"measured again.*50\.00 mm ± 0\.05 mm.*53\.98 mm ± 0\.10 mm", re.DOTALL))
    _accept(page, because="the first reading was of the old foot")
    assert AcceptedRecord.objects.filter(worksheet=worksheet).count() == 2

    page.goto(site + job.get_absolute_url())
    page.get_by_role("link", name="Print the job card").click()
    page.get_by_label("Letter").check()
    printed = make_pdf(page)
    text = "\n".join(sheet.extract_text() for sheet in printed.pages)
    assert tuple(map(round, printed.pages[0].mediabox[2:])) == (612, 792)
    for words in ("Gearbox behind the engine", "Tighten the bellhousing", "Wrench setting", "88.1"):
        assert words in text
    assert PrintedSheet.objects.count() == 1

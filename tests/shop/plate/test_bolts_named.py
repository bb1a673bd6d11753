"""A plate of which somebody has not said every bolt: neither accepted, nor printed, nor handed out as a file."""

import re

import pytest

from shop.worksheets.evaluation import worksheet_state
from specs.models import Hole
from tests.factories.plate import make_plate
from tests.factories.print import make_printed
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


@pytest.fixture
def unnamed():
    """The sheet of a plate whose gearbox has a 13.5 mm hole that no bolt was named for."""
    sheet = make_plate()
    Hole.objects.filter(kind="clearance", name="B2").update(bolt="")
    return sheet


def accept_on_page(client, sheet):
    address = sheet.get_absolute_url()
    once = re.search(r'name="once" value="([^"]*)"', client.get(address).content.decode())[1]
    sent = {"once": once, "result": worksheet_state(sheet).token}
    return client.post(f"/worksheets/{sheet.pk}/accept/", sent, follow=True)


def test_it_is_not_accepted(fitter, unnamed):
    page = collapsed(accept_on_page(fitter, unnamed))
    assert not unnamed.accepted.exists()
    assert "Not accepted: bolt not named, which bolt goes through" in page


@pytest.mark.parametrize("kind", ["plate-setup", "template-engine"])
def test_it_is_not_printed(unnamed, kind):
    with pytest.raises(Exception, match="Which bolt goes through G-B2"):
        make_printed(kind, unnamed)


@pytest.mark.parametrize("form", ["csv", "dxf"])
def test_it_leaves_as_no_file(fitter, unnamed, form):
    response = fitter.get(f"/print/{unnamed.pk}/gearbox.{form}")
    assert "Which bolt goes through G-B2?" in collapsed(response)
    assert "attachment" not in response.headers.get("Content-Disposition", "")


def test_a_threaded_hole_without_its_thread_is_asked_for_too(fitter):
    sheet = make_plate()
    Hole.objects.filter(kind="tapped", name="B1").update(thread="")
    assert "Which bolt goes through E-B1?" in collapsed(fitter.get(f"/print/{sheet.pk}/gearbox.dxf"))


def test_with_every_bolt_named_it_is_accepted(fitter):
    sheet = make_plate()
    accept_on_page(fitter, sheet)
    assert sheet.accepted.count() == 1

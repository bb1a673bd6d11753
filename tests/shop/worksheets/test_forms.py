"""The form of a worksheet: what stands in its boxes for what was typed, here or on the calculation's own page."""

import html
import re

import pytest

from shop.calculate.address import as_address
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.engine.calculation import find
from tests.factories.measuring import make_component, make_dimension, make_reading
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


def boxes(page):
    """What a browser would send back of a page's boxes: name and value, in order."""
    found = re.findall(r'<input\b[^>]*?\bname="([^"]*)"(?:[^>]*?\bvalue="([^"]*)")?', page)
    return [(name, html.unescape(value)) for name, value in found]


def test_a_reader_of_the_other_system_saves_what_was_typed_in_the_first(fitter, machinist, prefer):
    prefer("fitter", units="inch")
    typed = {"in-target": "74 lbf ft", "in-wrench_length": "15.75 ± 0.05", "in-wrench_length-unit": "in"}
    press(fitter, "/worksheets/new/wrench-adapter/", title="Adapter", **typed, **{"in-extension": "50 mm"})
    sheet = Worksheet.objects.get()
    before = worksheet_state(sheet).token
    page = machinist.get(f"/worksheets/{sheet.pk}/edit/").content.decode()
    assert "15.75 in ±" in collapsed(page)
    sent = {"component": "", "notes": "", **dict(boxes(page))}
    response = machinist.post(f"/worksheets/{sheet.pk}/edit/", sent, follow=True)
    assert "Nothing was changed" in collapsed(response)
    assert worksheet_state(Worksheet.objects.get()).token == before


def test_a_worked_out_calculation_is_kept_without_typing_again(fitter, machinist):
    given = "units=inch&target=74&wrench_length=15+3/4+in&extension=50+mm"
    page = collapsed(fitter.get(f"/calculate/wrench-adapter/?{given}"))
    address = html.unescape(re.search(r'href="(/worksheets/new/wrench-adapter/[^"]*)"[^>]*>Keep as', page)[1])
    opened = dict(boxes(machinist.get(address).content.decode()))
    assert opened["in-target"] == "74 lbf·ft"
    assert (opened["in-wrench_length"], opened["in-extension"]) == ("15 3/4 in", "50 mm")


@pytest.mark.parametrize(("rows", "refused"), [(400, False), (1001, True)])
def test_many_rows_are_taken_whole_or_refused_in_words(fitter, rows, refused):
    columns = {"nominal": "0.1", "tolerance": "0.01", "sign": "1"}
    typed = {f"in-contributors.{column}": [value] * rows for column, value in columns.items()}
    typed["in-contributors.name"] = [f"shim {number}" for number in range(rows)]
    said = collapsed(press(fitter, "/worksheets/new/axial-stack/", title="Stack", **typed))
    assert ("more than 1000 rows" in said) == refused
    assert Worksheet.objects.count() == (not refused)
    if not refused:
        assert Worksheet.objects.get().inputs.filter(path__endswith=".nominal").count() == rows


def test_a_table_of_a_calculation_is_kept_row_by_row(fitter):
    held = as_address(find("axial-stack").example)
    page = fitter.get(f"/worksheets/new/axial-stack/?{held.urlencode()}").content.decode()
    names = [value for name, value in boxes(page) if name == "in-contributors.name" and value]
    assert names == held.getlist("contributors.name")


def test_a_bare_number_of_the_other_system_is_asked_about_and_kept_when_ticked(fitter, prefer):
    """Beside what stood in the cell, and beside the component's own record of that name."""
    sheet = make_worksheet()
    address, said = f"/worksheets/{sheet.pk}/edit/", {"title": sheet.title, "in-target": "100 N*m"}
    said["in-extension"] = "50 mm"
    asked = collapsed(press(fitter, address, **said, **{"in-wrench_length": "15.75"}))
    assert "15.75 is 25.4 times off the 400 mm that is known: was it read in inches?" in asked
    assert 'value="15.75"' in asked
    assert sheet.inputs.get(path="wrench_length").typed == "400 mm"
    assert press(fitter, address, **said, **{"in-wrench_length": "15.75 in"}).status_code == 302
    assert press(fitter, address, **said, **{"in-wrench_length": "15.75"}, confirmed="on").status_code == 302
    arm = make_dimension(name="wrench length", component=make_component())
    make_reading(dimension=arm, mm=508)
    prefer("fitter", units="inch")
    typed = {"title": "Long arm", "component": arm.component_id, "in-target": "74 lbf ft", "in-extension": "2"}
    new = "/worksheets/new/wrench-adapter/"
    assert "508 is 25.4 times off the 20" in collapsed(press(fitter, new, **typed, **{"in-wrench_length": "508"}))
    assert press(fitter, new, **typed, **{"in-wrench_length": "20"}).status_code == 302

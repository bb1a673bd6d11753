"""What a worksheet's form offers to choose from: bounded, its own first, and every other one by its number."""

import re

import pytest
from django.utils import timezone

from shop.worksheets import offered
from shop.worksheets.models import Worksheet
from specs.models import HolePattern
from tests.factories.measuring import make_component, make_dimension, make_pattern
from tests.factories.people import make_person
from tests.factories.plate import make_plate
from tests.pages import collapsed, press
from tests.queries import queries_of

pytestmark = pytest.mark.django_db(transaction=True)

PLACE = "/worksheets/new/plate-layout/"
BOX = 'name="in-engine-pattern-number"'


@pytest.fixture
def at_most(monkeypatch):
    """Two hole patterns are offered, and beside them those of the worksheet's component."""
    monkeypatch.setattr(offered, "MOST_PATTERNS", 2)


def page_of(client, address):
    return client.get(address, headers={"Cache-Control": "no-cache"}).content.decode()


def choices(page, name="in-engine-pattern"):
    """The numbers that a list may take, in order, and the one that is chosen."""
    inside = re.search(rf'<select name="{name}".*?</select>', page, re.S)[0]
    return [int(key) for key in re.findall(r'value="(\d+)"', inside)], re.findall(r'value="(\d+)" selected', inside)


def faces(how_many, **of):
    return [make_pattern(face=f"face {number}", **of) for number in range(how_many)]


def edit(sheet):
    return f"/worksheets/{sheet.pk}/edit/"


def delete(pattern):
    of_now = {"deleted_at": timezone.now(), "deleted_by": make_person(), "deleted_reason": "measured anew"}
    HolePattern.objects.filter(pk=pattern.pk).update(**of_now)


def test_as_long_as_there_are_few_every_face_is_offered_and_no_number_is_asked_for(fitter):
    keys = [one.pk for one in faces(3)]
    page = page_of(fitter, PLACE)
    assert choices(page) == (keys, [])
    assert BOX not in page


def test_of_many_faces_the_last_are_offered_and_those_of_the_own_component(fitter, at_most):
    own = make_component(name="own")
    old = faces(1, component=own)
    keys = [one.pk for one in faces(4)]
    assert choices(page_of(fitter, PLACE))[0] == keys[-2:]
    page = page_of(fitter, edit(make_plate(component=own)))
    assert old[0].pk in choices(page)[0]
    assert BOX in page


def test_a_face_that_is_taken_stays_chosen_however_old_it_is(fitter, at_most):
    sheet = make_plate()
    taken = sheet.inputs.get(path="engine").pattern
    faces(3)
    shown, chosen = choices(page_of(fitter, edit(sheet)))
    assert chosen == [str(taken.pk)]
    assert len(shown) == 3
    delete(taken)
    assert taken.pk not in choices(page_of(fitter, edit(sheet)))[0]


def test_what_was_deleted_or_renamed_just_now_is_offered_so_no_more(fitter):
    first, second = faces(2)
    page_of(fitter, PLACE)
    delete(first)
    HolePattern.objects.filter(pk=second.pk).update(face="rear <face>")
    page = page_of(fitter, PLACE)
    assert choices(page)[0] == [second.pk]
    assert "rear &lt;face&gt;" in page


def sent(page, **changes):
    """What a browser would send of a page, with these changes; a name of several boxes with all of them."""
    boxes = re.findall(r'<input type="(?:text|hidden)" name="([^"]*)"(?:\s*value="([^"]*)")?', page)
    given: dict[str, list[str]] = {}
    for name, value in boxes:
        given.setdefault(name, []).append(value)
    for name in re.findall(r'<select name="([^"]*-pattern)"', page):
        given[name] = choices(page, name)[1]
    return {**given, "title": "Plate", "in-outline_side": "", **changes}


@pytest.fixture
def plate(at_most):
    """A plate's worksheet whose faces were measured long ago, as was another."""
    sheet, other = make_plate(), make_pattern(face="other face")
    faces(3)
    return sheet, other


def engine_of(sheet):
    return Worksheet.objects.get(pk=sheet.pk).inputs.get(path="engine").pattern


def test_an_older_face_is_taken_by_its_number(fitter, plate):
    sheet, other = plate
    changes = {"in-engine-pattern": "", "in-engine-pattern-number": f" {other.pk} "}
    press(fitter, edit(sheet), **sent(page_of(fitter, edit(sheet)), **changes))
    assert engine_of(sheet) == other
    assert choices(page_of(fitter, edit(sheet)))[1] == [str(other.pk)]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("{other}", "Choose a hole pattern or give the number of one, not both."),
        ("x{other}", "Choose a hole pattern or give the number of one, not both."),
        ("²", "Choose a hole pattern or give the number of one, not both."),
    ],
)
def test_a_face_that_is_chosen_and_another_number_are_not_both_taken(fitter, plate, typed, said):
    sheet, other = plate
    before, number = engine_of(sheet), typed.format(other=other.pk)
    changes = {"in-engine-pattern-number": number}
    page = press(fitter, edit(sheet), **sent(page_of(fitter, edit(sheet)), **changes))
    assert said in collapsed(page)
    assert f'value="{number}"' in collapsed(page)
    assert engine_of(sheet) == before


@pytest.mark.parametrize("typed", ["999999", "9999999999999999999999", "²", "-1", "rear face", "deleted"])
def test_a_number_of_no_face_that_stands_is_refused_beside_it(fitter, plate, typed):
    sheet, other = plate
    if typed == "deleted":
        delete(other)
        typed = str(other.pk)
    changes = {"in-engine-pattern": "", "in-engine-pattern-number": typed}
    page = collapsed(press(fitter, edit(sheet), **sent(page_of(fitter, edit(sheet)), **changes)))
    assert "This hole pattern is not there, or was deleted. Choose another." in page
    assert f'value="{typed}"' in page
    assert engine_of(sheet) is not None


def test_the_form_reads_and_says_no_more_after_years_of_measuring(fitter, monkeypatch):
    monkeypatch.setattr(offered, "MOST_PATTERNS", 5)
    monkeypatch.setattr(offered, "MOST_NAMES", 5)
    fitter.defaults["HTTP_CACHE_CONTROL"] = "no-cache"
    sheet, of = make_plate(), make_component(name="measured for years")
    told = []
    for year in range(2):
        faces(10, component=of)
        for number in range(10):
            make_dimension(name=f"depth {year}-{number}", component=of)
        offered_now = page_of(fitter, edit(sheet)).count("<option")
        told.append((offered_now, len(queries_of(fitter, edit(sheet)))))
    assert told[0] == told[1]
    assert told[1][1] <= 8

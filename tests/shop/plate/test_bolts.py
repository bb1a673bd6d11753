"""A bolt that cannot be used: who left it out and why, the joint with and without it, papers that leave it out."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.plate.bolts import PlateJoint
from specs.engine.calculation import find
from specs.engine.entry import solve
from specs.plate.machining import FaceHole
from specs.plate.sides import Side
from tests.factories.measuring import make_torque_spec
from tests.factories.plate import accept, make_left_out, make_plate
from tests.factories.print import make_printed
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db


LOADS = "torque=300&mu=0.15&dowel_strength=400"


def bolts(client, sheet, query=""):
    return collapsed(client.get(f"/plate/{sheet.pk}/bolts/?{query}"))


def test_papers_and_files_leave_it_out_and_say_so(fitter):
    sheet = make_plate()
    make_left_out(sheet)
    setup = text_of(bytes(make_printed("plate-setup", sheet).pdf))
    assert setup.count("LEFT OUT: do not drill these") == 2
    assert "E-B3 no access for bolt or tool: behind the starter" in " ".join(setup.split())
    assert "LEFT OUT: E-B3." in text_of(bytes(make_printed("template-gearbox", sheet).pdf))
    accept(sheet)
    rows = list(csv.DictReader(io.StringIO(fitter.get(f"/print/{sheet.pk}/gearbox.csv").content.decode())))
    rows = [row for row in rows if row["work"] != "WINDOW"]
    assert {row["hole"] for row in rows} == {"E-D1", "E-D2", "E-B1", "E-B2", "G-D1", "G-D2", "G-B1", "G-B2", "G-B3"}
    assert "E-B3" not in fitter.get(f"/print/{sheet.pk}/gearbox.dxf").content.decode()


def test_the_joint_stands_with_and_without_it_side_by_side(fitter):
    sheet = make_plate()
    make_left_out(sheet)
    said = bolts(fitter, sheet, f"joint=engine&preload_from=typed&preload=20000&{LOADS}")
    # Independent, by hand: from the point of least sum of distances, the three bolts at (120, 110), (−100, 125) and
    # (30, −140) mm are √((48625 + 87125 + 70600)/2 + 2√3 · 28175) = 448.08 mm away together (Fermat's point of a
    # triangle), two of them 220.51 mm: 0.15 · 20 kN times that.
    assert "1344 N·m" in said
    assert "661.5 N·m" in said
    assert "Without B3, nothing presses the faces between B2 and B1, 221 mm apart." in said
    assert "Look for the reason why the maker put a bolt there" in said


def test_the_dowels_length_in_the_softer_part_says_whether_they_press_their_holes_wide(fitter):
    sheet = make_plate()
    asked = f"joint=engine&preload_from=typed&preload=20000&{LOADS}"
    row = '<span class="hidden-words">{}:</span></span> <div><span class="name">Dowel bearing'
    assert row.format("Not known") in bolts(fitter, sheet, asked)
    assert row.format("Holds") in bolts(fitter, sheet, f"{asked}&dowel_length=12&dowel_bearing=250")
    assert row.format("Fails") in bolts(fitter, sheet, f"{asked}&dowel_length=12&dowel_bearing=2")
    assert "This has to be more than 0." in bolts(fitter, sheet, f"{asked}&dowel_length=-12&dowel_bearing=250")


def test_a_preload_comes_from_a_torque_spec_at_its_least_over_the_range_of_friction(fitter):
    sheet = make_plate()
    plate_to_block = make_torque_spec(component=sheet.inputs.get(path="engine").pattern.component, thread="M10")
    make_torque_spec(component=plate_to_block.component, thread="M8", place="elsewhere")
    said = bolts(fitter, sheet)
    assert f'value="spec-{plate_to_block.pk}"' in said
    assert "elsewhere" not in said
    assert "its least over the range of friction" in bolts(
        fitter, sheet, f"joint=engine&preload_from=spec-{plate_to_block.pk}&{LOADS}&without=B1"
    )


def test_a_preload_from_a_worksheet_is_its_least_over_the_range_of_friction(fitter):
    # Independent: M10 10.9 socket head at friction 0.08 to 0.16 keeps 25.4 kN of 45.6 kN, 4 % less by the wrench.
    sheet = make_plate()
    bolt = {"thread": "M10", "grade": "10.9", "head": "socket", "mu_low": "0.08", "mu_high": "0.16"}
    component = sheet.inputs.get(path="engine").pattern.component
    ranged = make_worksheet(bolt, component=component, calculation="fastener-torque")
    said = " ".join(bolts(fitter, sheet, f"joint=engine&preload_from=sheet-{ranged.pk}&{LOADS}&without=B1").split())
    assert "its least over the range of friction" in said
    assert "Each bolt with 24350 N" in said


@pytest.mark.parametrize(
    ("query", "words"),
    [
        (f"joint=engine&preload_from=typed&{LOADS}", "Give the preload"),
        ("joint=engine&preload_from=typed&preload=20000&torque=-5&mu=0.15&dowel_strength=400", "more than 0"),
        ("joint=engine&preload_from=typed&preload=20 mm&torque=5&mu=0.15&dowel_strength=400", "force is needed"),
        (f"joint=engine&preload_from=typed&preload=2&{LOADS}&without=B9", "not in the list any more"),
        ("joint=engine&preload_from=typed&preload=2&torque=5&mu=3&dowel_strength=400", "must be at most 1"),
    ],
)
def test_bad_loads_are_told_in_words(fitter, query, words):
    assert words in bolts(fitter, make_plate(), query)


places = st.lists(st.tuples(st.floats(-200, 200), st.floats(-200, 200)), min_size=4, max_size=8, unique=True)


@given(places, st.integers(0, 3))
def test_one_bolt_less_never_carries_more_by_friction(at, gone):
    bolts = tuple(FaceHole(f"B{k}", x, y, 11, "clearance", "M10") for k, (x, y) in enumerate(at))
    apart = min(abs(complex(a.x - b.x, a.y - b.y)) for a in bolts for b in bolts if a is not b)
    if apart < 1:
        return
    joint = PlateJoint(Side.ENGINE, bolts, (), (f"B{gone}",))
    every, rest = (
        solve(find("bolt-group"), joint.request(20e3, 100, 0.15, 4e8, omit)) for omit in ((), joint.left_out)
    )
    # Triangle inequality: the middle moves by 1/(n − 1) of the lost bolt's distance, for each of the n − 1 others.
    assert rest.found.friction_torque <= every.found.friction_torque * (1 + 1e-9)
    assert rest.found.capacity_lost >= -1e-9

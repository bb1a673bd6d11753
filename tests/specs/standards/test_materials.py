"""Materials and friction say what they are good for, lowest first."""

import pytest

from specs.engine.calculation import find
from specs.engine.fields import fields_of
from specs.standards import friction, materials


@pytest.mark.parametrize("material", materials.table().values(), ids=lambda material: material.name)
def test_strengths_and_constants_are_of_the_right_order(material: materials.Material) -> None:
    assert material.yield_lowest is None or material.yield_lowest < material.tensile_lowest
    assert material.tensile_highest is None or material.tensile_highest > material.tensile_lowest
    assert 0.5 * material.tensile_lowest < material.shear_lowest < 1.2 * material.tensile_lowest
    assert 0.2 < material.poisson < 0.35
    light = "aluminium" in material.kind
    assert (2600 if light else 7000) <= material.density <= (2850 if light else 7900)
    assert (65e9 if light else 85e9) < material.elastic_modulus < (76e9 if light else 215e9)
    assert (19e-6 if light else 10e-6) < material.expansion < (24e-6 if light else 13e-6)


def test_grey_iron_has_no_yield_and_a_wide_scatter() -> None:
    iron = materials.find("EN-GJL-250")
    assert iron.yield_lowest is None
    assert iron.tensile_highest == 350e6  # EN 1561, read in a public foundry page


@pytest.mark.parametrize(
    ("name", "tensile", "proof"),
    [
        # EN 1706:2010 minima for separately cast test pieces, read in a foundry's alloy data sheet.
        ("EN AC-42100-T6 sand", 230, 190),
        ("EN AC-42100-T6 gravity die", 290, 210),
        # EN 1563, read in a public foundry page.
        ("EN-GJS-500-7", 500, 320),
        ("EN-GJS-600-3", 600, 370),
    ],
)
def test_castings_hold_the_minima_of_their_standards(name: str, tensile: float, proof: float) -> None:
    found = materials.find(name)
    assert found.tensile_lowest == tensile * 1e6
    assert found.yield_lowest == proof * 1e6


def test_shear_is_reckoned_where_no_source_states_it() -> None:
    assert materials.find("6061-T6").shear_lowest == 207e6  # Aluminum Association typical value, read
    assert materials.find("S355J2").shear_lowest == pytest.approx(0.6 * 470e6)


def test_an_unknown_material_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(materials.UnknownMaterial, match="“cheese” is not in the table; there are S235JR, S355J2"):
        materials.find("cheese")


def test_friction_classes_overlap_and_rise() -> None:
    rows = friction.table()
    assert [row.friction_class for row in rows] == sorted(row.friction_class for row in rows)
    for smaller, larger in zip(rows, rows[1:], strict=False):
        assert smaller.lowest <= larger.lowest
    assert all(row.highest is None or row.lowest < row.highest for row in rows)
    assert [row.highest for row in rows if row.friction_class == "E"] == [None]


def test_a_forms_help_says_what_the_tables_say() -> None:
    said = friction.guide()
    for row in friction.table():
        assert f"{row.lowest:g} {'and more' if row.highest is None else f'to {row.highest:g}'}" in said
    flywheel = fields_of(find("flywheel-stress").inputs)
    steel, iron = materials.find("C45+N"), materials.find("EN-GJL-250")
    assert f"{steel.yield_lowest / 1e6:g} MPa" in flywheel["yield_strength"].help
    assert f"{steel.tensile_lowest / 1e6:g} MPa" in flywheel["tensile_strength"].help
    assert f"EN-GJL-250 {iron.tensile_lowest / 1e6:g} MPa" in flywheel["tensile_strength"].help
    tapped = fields_of(find("thread-engagement").inputs)["nut_shear_strength"].help
    assert tapped.startswith("least of EN AC-44100-F sand 90, ")

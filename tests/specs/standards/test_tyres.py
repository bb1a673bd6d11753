import pytest

from specs.standards.tyres import read_tyre

# ISO 4000-1 / ETRTO Standards Manual, design overall diameters in mm (from memory); the standard rounds the rim (code
# 16 is 406 mm) and the section height, hence 1 mm.
DIAMETERS = {"195/65R15": 635, "225/45R17": 634, "245/40R18": 653, "185/60R14": 578, "205/65R15": 647, "245/70R16": 749}


@pytest.mark.parametrize(("designation", "diameter"), DIAMETERS.items())
def test_overall_diameters_of_the_standard(designation: str, diameter: float) -> None:
    assert read_tyre(designation).free_diameter * 1000 == pytest.approx(diameter, abs=1)


@pytest.mark.parametrize(
    "written",
    [
        "245/40R18",
        "245/40 R18",
        " 245 / 40 r 18 ",
        "245/40ZR18 97Y",
        "245/40ZR18 (97Y)",
        "245/40R18 97Y XL",
        "P245/40R18",
        "245/40-18",
        "245/40 18",
        "LT245/40R18 121/120S",
        "245/40R18C 121/120S",
        "245/40ZRF18",
    ],
)
def test_one_size_is_read_however_it_is_written(written: str) -> None:
    assert read_tyre(written) == read_tyre("245/40R18")


def test_truck_rims_have_halves() -> None:
    assert read_tyre("315/80R22.5").free_diameter == pytest.approx(0.315 * 0.8 * 2 + 22.5 * 0.0254)


@pytest.mark.parametrize(
    "written", ["", "tyre", "195R15", "245/40", "24/40R18", "245/40R18.3", "245/4R18", "31x10.50R15", "245/40R18 big"]
)
def test_what_is_no_size_is_refused_in_words(written: str) -> None:
    with pytest.raises(ValueError, match="not a tyre size"):
        read_tyre(written)


@pytest.mark.parametrize(
    ("written", "what"), [("999/40R18", "width"), ("245/10R18", "aspect ratio"), ("245/40R50", "rim")]
)
def test_figures_that_no_tyre_has_are_named(written: str, what: str) -> None:
    with pytest.raises(ValueError, match=f"The {what} .* is not between"):
        read_tyre(written)

"""Every printed value says where it comes from, and whether that was read or remembered."""

from importlib.resources import files

import pytest

from specs.standards import publications
from specs.standards.publications import Source, cite

TABLES = sorted(
    path.name.removesuffix(".csv") for path in files("specs.standards").iterdir() if path.name.endswith(".csv")
)


@pytest.mark.parametrize("name", [name for name in TABLES if name != "sources"])
def test_every_row_names_a_known_publication_and_its_place(name: str) -> None:
    for row in publications.rows(name):
        source = publications.source_of(row)
        assert source.title.startswith(row["source"])
        assert source.edition
        assert source.place
        assert source.read in {"read", "from memory"}
        assert None not in row, f"a comma too many in {row}"


def test_no_publication_is_listed_without_use() -> None:
    named = {row["source"] for name in TABLES if name != "sources" for row in publications.rows(name)}
    assert named == set(publications.publications())


def test_a_source_prints_its_parts_and_how_it_is_known() -> None:
    assert str(Source("ISO 273", "1979", "table", "read")) == "ISO 273, 1979, table (read)"
    assert str(Source("common practice, no source")) == "common practice, no source (from memory)"


def test_citing_names_each_source_once_in_order() -> None:
    first, second = Source("ISO 898-1"), Source("ISO 273")
    assert cite([first, second, first]) == ("ISO 898-1 (from memory)", "ISO 273 (from memory)")


def test_printed_decimals_become_the_nearest_floats() -> None:
    assert publications.millimetres("10.2") == 0.0102
    assert publications.inches("1/20") == 0.00127
    assert publications.megapascals("640") == 640e6
    assert publications.optional_millimetres("") is None
    assert publications.optional_millimetres("5.5") == 0.0055

"""The tables as a person looks them up."""

from __future__ import annotations

from importlib.resources import files

from specs.standards.printed import TITLES, holding_words, printed


def test_every_table_is_printed() -> None:
    kept = {path.name.removesuffix(".csv") for path in files("specs.standards").iterdir() if path.name.endswith(".csv")}
    assert kept - {"sources"} == TITLES.keys() == {table.name for table in printed()}


def test_a_row_reads_as_its_standard_prints_it_and_counts_its_source() -> None:
    holes = next(table for table in printed() if table.name == "clearance_holes")
    assert holes.columns == ("size, mm", "fine, mm", "medium, mm", "coarse, mm", "source")
    assert ("12", "13", "13.5", "14.5", "1") in holes.rows  # ISO 273
    assert ("4.5", "4.8", "5", "5.3", "2") in holes.rows
    assert ["read" in source for source in holes.sources] == [True, False]
    assert holes.sources[1].endswith("(from memory)")


def test_every_source_is_counted_by_some_row() -> None:
    for table in printed():
        assert {row[-1] for row in table.rows} == {str(at) for at, _ in enumerate(table.sources, 1)}
        assert all(len(row) == len(table.columns) for row in table.rows)


def test_units_stand_over_their_columns() -> None:
    materials = next(table for table in printed() if table.name == "materials")
    assert {"density, kg/m³", "elastic modulus, GPa", "expansion, 10⁻⁶/K", "poisson"} < set(materials.columns)


def test_a_table_is_cut_down_to_the_rows_that_hold_every_word() -> None:
    tables = {table.name: table for table in printed()}
    drills = holding_words(tables["tap_drills"], "m10 TAPPING")
    assert drills.rows
    assert all("10" in row[0] for row in drills.rows)
    assert not holding_words(tables["materials"], "6082 tapping").rows
    assert holding_words(tables["materials"], "").rows == tables["materials"].rows
    # A size that is printed bare is found by the thread's name as well.
    assert holding_words(tables["clearance_holes"], "M10").rows


def test_letters_of_a_standard_head_their_columns_as_it_prints_them() -> None:
    columns = {table.name: table.columns for table in printed()}
    assert columns["thread_tolerances"] == (
        "pitch, mm",
        "deviation es (g), µm",
        "Td (6), µm",
        "TD1 (6), µm",
        "source",
    )
    assert "in ISO 262" in columns["threads_metric"]

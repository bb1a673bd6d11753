"""The published tables as they are printed, to be looked up by a person."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from specs.phrase import phrase
from specs.standards.publications import rows, source_of

# In the order in which they are asked for at a bench.
TITLES = {
    "tap_drills": phrase("Drills for tapping"),
    "clearance_holes": phrase("Clearance holes"),
    "heads": phrase("Bolt heads"),
    "property_classes": phrase("Property classes of metric bolts"),
    "grades_sae": phrase("Grades of inch bolts"),
    "friction": phrase("Friction in threads and under heads"),
    "surface_pressures": phrase("Pressure that clamped faces bear"),
    "settling": phrase("Settling of clamped faces, by roughness Rz"),
    "bolt_lengths": phrase("Preferred bolt lengths"),
    "dowels": phrase("Dowel pins"),
    "dowel_lengths": phrase("Dowel pin lengths"),
    "materials": phrase("Materials"),
    "grey_iron_walls": phrase("Grey iron: tensile strength to expect in a wall"),
    "threads_metric": phrase("Metric threads"),
    "threads_unified": phrase("Unified threads"),
    "thread_tolerances": phrase("Thread tolerances by pitch"),
    "pitch_diameter_tolerances": phrase("Tolerances of pitch diameters"),
}
_OF_SOURCE = ("source", "place", "provenance")
_UNITS = {
    "_1e6_per_k": ", 10⁻⁶/K",
    "_kg_m3": ", kg/m³",
    "_gpa": ", GPa",
    "_mpa": ", MPa",
    "_ksi": phrase(", ksi"),
    "_mm": ", mm",
    "_um": ", µm",
    "_in": phrase(", in"),
}

# The letters of ISO 965-1: a small d is the external thread's diameter, a large one the internal's.
_LETTERS = {
    "selected_iso_262": phrase("in ISO 262"),
    "es_g_um": phrase("deviation es (g), µm"),
    "td_6_um": "Td (6), µm",
    "td1_6_um": "TD1 (6), µm",
    "td2_6_um": "Td2 (6), µm",
    "td2_6_internal_um": "TD2 (6), µm",
}


@dataclass(frozen=True)
class PublishedTable:
    """One table: name, title, the words over its columns, rows, and the sources that the rows' last column counts."""

    name: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sources: tuple[str, ...]


def printed() -> Iterator[PublishedTable]:
    """Give every table; the last column of a row is the number of its source, from 1."""
    for name, title in TITLES.items():
        held = rows(name)
        cited = list(dict.fromkeys(str(source_of(row)) for row in held))
        columns = [column for column in held[0] if column not in _OF_SOURCE]
        yield PublishedTable(
            name,
            title,
            (*map(_heading, columns), "source"),
            tuple((*(row[column] for column in columns), str(cited.index(str(source_of(row))) + 1)) for row in held),
            tuple(cited),
        )


def holding_words(table: PublishedTable, text: str) -> PublishedTable:
    """Give the table with the rows that hold every word of a text, in their cells or in its title and headings."""
    words = text.casefold().split()
    named = f"{table.title} {' '.join(table.columns)}".casefold()
    kept = [row for row in table.rows if all(word in f"{named} {_told(row)}" for word in words)]
    return replace(table, rows=tuple(kept))


def _told(row: tuple[str, ...]) -> str:
    """A row's cells but for its source, in small letters; a size of 10 is found as M10 too."""
    size = f"m{row[0]} " if row[0].replace(".", "").isdigit() else ""
    return size + " ".join(row[:-1]).casefold()


def _heading(column: str) -> str:
    if column in _LETTERS:
        return _LETTERS[column]
    suffix = next((suffix for suffix in _UNITS if column.endswith(suffix)), "")
    return column.removesuffix(suffix).replace("_", " ") + _UNITS.get(suffix, "")

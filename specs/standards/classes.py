"""Strength of bolts: property classes of ISO 898-1 and ISO 3506-1, grades of SAE J429."""

from dataclasses import dataclass
from functools import cache

from specs.phrase import phrase
from specs.standards.publications import INCH, Row, Source, inches, load, megapascals, millimetres, source_of
from specs.standards.threads import Thread
from specs.written import num

# A pound-force per square inch in pascals, from the exact inch, pound and standard gravity.
_PSI = 0.45359237 * 9.80665 / 0.0254**2


class UnknownGrade(ValueError):
    """A grade that the tables lack, or that does not exist for the thread; the words say which are accepted."""


@dataclass(frozen=True)
class StrengthClass:
    """Minimum strengths of one grade over a range of sizes, SI.

    tensile: Rm,min [Pa]. yield_strength: ReL, Rp0.2 or Rpf,min [Pa], which one says yield_kind.
    proof: stress under proof load [Pa], None where the standard states none (ISO 3506-1).
    smallest, largest: nominal diameters covered [m].
    """

    grade: str
    is_metric: bool
    smallest: float
    largest: float
    tensile: float
    yield_strength: float
    yield_kind: str
    proof: float | None
    source: Source

    def covers(self, thread: Thread) -> bool:
        return self.is_metric == thread.is_metric and self.smallest <= thread.major_diameter <= self.largest


def _metric(row: Row) -> StrengthClass:
    return StrengthClass(
        grade=row["grade"],
        is_metric=True,
        smallest=millimetres(row["from_mm"]),
        largest=millimetres(row["to_mm"]),
        tensile=megapascals(row["tensile_mpa"]),
        yield_strength=megapascals(row["yield_mpa"]),
        yield_kind=row["yield_kind"],
        proof=megapascals(row["proof_mpa"]) if row["proof_mpa"] else None,
        source=source_of(row),
    )


def _sae(row: Row) -> StrengthClass:
    return StrengthClass(
        grade=row["grade"],
        is_metric=False,
        smallest=inches(row["from_in"]),
        largest=inches(row["to_in"]),
        tensile=float(row["tensile_ksi"]) * 1000 * _PSI,
        yield_strength=float(row["yield_ksi"]) * 1000 * _PSI,
        yield_kind="Rp0.2",
        proof=float(row["proof_ksi"]) * 1000 * _PSI,
        source=source_of(row),
    )


@cache
def table() -> tuple[StrengthClass, ...]:
    """Return every class and grade, metric first, weakest first."""
    return load("property_classes", _metric) + load("grades_sae", _sae)


@cache
def grades() -> tuple[str, ...]:
    """Return the names of all grades, in the order of the tables."""
    return tuple(dict.fromkeys(row.grade for row in table()))


@cache
def find(grade: str, thread: Thread) -> StrengthClass:
    """Return the minimum strengths of a grade at a thread's size.

    Raises UnknownGrade for a name that no table has, for a metric class on an inch thread or the reverse, and for a
    size outside the standard's range.

    >>> from specs.standards import threads
    >>> find("8.8", threads.find("M20")).yield_strength
    660000000.0
    """
    named = [row for row in table() if row.grade == grade]
    if not named:
        raise UnknownGrade(
            phrase("“{grade}” is not a grade; choose {grades}", grade=grade[:40], grades=", ".join(grades()))
        )
    for row in named:
        if row.covers(thread):
            return row
    raise UnknownGrade(_why_not(named, thread))


def _why_not(named: list[StrengthClass], thread: Thread) -> str:
    grade = named[0].grade
    if named[0].is_metric == thread.is_metric:
        return phrase(
            "{grade} is not made in the size of {designation}; it covers {range}",
            grade=grade,
            designation=thread.designation,
            range=_range(named),
        )
    fitting = ", ".join(dict.fromkeys(row.grade for row in table() if row.is_metric == thread.is_metric))
    kind = phrase("an inch thread") if named[0].is_metric else phrase("a metric thread")
    return phrase(
        "{grade} does not belong to {kind} such as {designation}; choose {fitting}",
        grade=grade,
        kind=kind,
        designation=thread.designation,
        fitting=fitting,
    )


def _range(named: list[StrengthClass]) -> str:
    smallest, largest = named[0].smallest, named[-1].largest
    if named[0].is_metric:
        return f"M{smallest * 1000:g} to M{largest * 1000:g}"
    return f"{num(smallest / float(INCH))} to {num(largest / float(INCH))} in"

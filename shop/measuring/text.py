"""Readings and limits in sentences."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext

from specs.engine import parsing, units
from specs.engine.units import Kind, System
from specs.models import Dimension, Measurement, WorkingValue, reading_origin, working_value


@dataclass(frozen=True)
class ShownDimension:
    """A dimension as a page shows it: its working value in the reader's units, where that comes from, what is wrong."""

    dimension: Dimension
    value: str = ""
    tolerance: str = ""
    working: WorkingValue | None = None
    limits: tuple[str, ...] = ()
    contradictions: tuple[str, ...] = ()

    @property
    def source(self) -> str:
        """Which reading the value is, in words."""
        return self.working.source if self.working else gettext("not measured yet")

    @property
    def flags(self) -> tuple[str, ...]:
        """Everything that asks for a second look, in full."""
        return self.limits + self.contradictions

    @property
    def short_flags(self) -> tuple[str, ...]:
        """The same for a list, where one line has to do."""
        return (*self.limits, *((gettext("readings contradict each other"),) if self.contradictions else ()))

    @property
    def measured(self) -> bool:
        return bool(self.value)


def show_dimension(dimension: Dimension, system: System) -> ShownDimension:
    """Show a dimension with its working value; empty words where it was never measured."""
    return show_working(dimension, working_value(dimension), system)


def show_working(dimension: Dimension, working: WorkingValue | None, system: System) -> ShownDimension:
    """Show a dimension by a working value that was found before."""
    if working is None:
        return ShownDimension(dimension)
    kind = units.KINDS[dimension.kind]
    return ShownDimension(
        dimension=dimension,
        value=show_value(working.value, kind, system, working.tolerance),
        tolerance=tolerance_words(working.tolerance, kind, system),
        working=working,
        limits=limit_words(dimension, working, system),
        contradictions=contradiction_words(working, kind, system),
    )


def show_value(value: float, kind: Kind, system: System, tolerance: float) -> str:
    """A measured value with the figures that its tolerance supports."""
    return units.show(value, kind, system, band=tolerance or None, figures=6)


def tolerance_words(tolerance: float, kind: Kind, system: System) -> str:
    """A tolerance as it stands behind a value; a counted or agreed value has none."""
    return f"± {units.show(tolerance, kind, system, band=tolerance)}" if tolerance else gettext("exactly")


def limit_words(dimension: Dimension, working: WorkingValue, system: System) -> tuple[str, ...]:
    """Whether the working value keeps its limits: surely, only if the reading is right, or not."""
    kind = units.KINDS[dimension.kind]
    found = []
    for limit, side, word in (
        (dimension.lower_limit, 1, "lower"),
        (dimension.upper_limit, -1, "upper"),
    ):
        if limit is None:
            continue
        room = side * (working.value - limit)
        named = gettext("the {word} limit of {show}").format(word=word, show=units.show(limit, kind, system, figures=6))
        by = units.show(abs(room), kind, system, figures=3)
        if room < 0:
            found.append(gettext("outside {named} by {by}").format(named=named, by=by))
        elif room < working.tolerance:
            found.append(gettext("within {named} only if the reading is right").format(named=named))
    return tuple(found)


def contradiction_words(working: WorkingValue, kind: Kind, system: System) -> tuple[str, ...]:
    """Each pair of readings that lie further apart than their tolerances allow."""
    return tuple(_apart(a, b, kind, system) for a, b in working.contradictions)


def _apart(a: Measurement, b: Measurement, kind: Kind, system: System) -> str:
    apart = units.show(abs(a.value - b.value), kind, system, figures=3)
    allowed = units.show(a.tolerance + b.tolerance, kind, system, figures=3)
    pieces = gettext(" They were taken from different specimens.") if a.specimen_id != b.specimen_id else ""
    return gettext(
        "{typed} ({reading_origin}) and {typed_2} ({reading_origin_2}) are {apart} apart; "
        "their tolerances together allow {allowed}.{pieces}"
    ).format(
        typed=a.typed,
        reading_origin=reading_origin(a),
        typed_2=b.typed,
        reading_origin_2=reading_origin(b),
        apart=apart,
        allowed=allowed,
        pieces=pieces,
    )


def with_unit(reading: parsing.TypedQuantity) -> str:
    """What was typed, with the unit that it was taken in where none was typed: "88,9" is kept as "88,9 mm"."""
    typed = reading.typed.partition("±")[0].strip()
    if parsing.split(typed)[1] or reading.unit == "1":
        return typed
    return f"{typed} {units.unit_text(reading.unit)}"


def farthest_apart(dimension: Dimension, system: System) -> tuple[str, str]:
    """The widest contradiction of a dimension's readings: how far apart they are, and which two by what they allow.

    Two empty words where no two readings contradict each other.
    """
    working = working_value(dimension)
    if working is None or not working.contradictions:
        return "", ""
    kind = units.KINDS[dimension.kind]
    a, b = max(working.contradictions, key=lambda pair: abs(pair[0].value - pair[1].value))
    allowed = units.show(a.tolerance + b.tolerance, kind, system, figures=3)
    pieces = gettext(", from two specimens") if a.specimen_id != b.specimen_id else ""
    apart = units.show(abs(a.value - b.value), kind, system, figures=3)
    return apart, gettext("{typed} and {typed_2}{pieces}; they may differ by {allowed}").format(
        typed=a.typed, typed_2=b.typed, pieces=pieces, allowed=allowed
    )

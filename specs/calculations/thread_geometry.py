"""The sizes of a thread: diameters, stress area and the drill for tapping."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Drawing
from specs.drawings.sections import along, axis, diameter, sheet, threaded
from specs.engine.calculation import Calculation, WorkingStep, result, text
from specs.engine.units import AREA, LENGTH, show
from specs.phrase import phrase
from specs.standards import lookup
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """A metric thread of ISO 261 (M3 to M39) or a Unified thread of ASME B1.1 (#4 to 1 1/2 in)."""

    thread: str = text(phrase("Thread"), help=phrase("M12 is coarse; M12x1.25, 1/2-20 UNF, #10-32 UNF"))


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Basic sizes of the external thread."""

    major_diameter: float = result(LENGTH, phrase("Major diameter"), symbol="d")
    pitch: float = result(LENGTH, phrase("Pitch"), symbol="P")
    pitch_diameter: float = result(LENGTH, phrase("Pitch diameter"), symbol="d_2")
    minor_diameter: float = result(LENGTH, phrase("Root diameter of the bolt"), symbol="d_3")
    stress_area: float = result(AREA, phrase("Stress area"), symbol="A_s")
    tap_drill: float = result(LENGTH, phrase("Drill for tapping"), symbol="D_t")


def solve(given: Inputs) -> Outputs:
    """Look the thread up and work out its basic sizes, SI.

    Metric: d2 = d − 0.649519 P and d3 = d − 1.226869 P (ISO 724), area π/4·((d2 + d3)/2)² (ISO 898-1).
    Unified: d2 = d − 0.649519 P, root d − 1.190785 P (UNR), area π/4·(d − 0.9743 P)² (ASME B1.1).
    Drill: the ISO 2306 table, d − P where it has no row. Raises Refused for a thread that the tables lack.
    """
    thread = lookup.thread(given.thread)
    return Outputs(
        major_diameter=thread.major_diameter,
        pitch=thread.pitch,
        pitch_diameter=thread.pitch_diameter,
        minor_diameter=thread.minor_diameter,
        stress_area=thread.stress_area,
        tap_drill=thread.tap_drill,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Diameters, area and drill, by the system of the thread."""
    thread = lookup.thread(given.thread)
    yield WorkingStep("d_2 = d - 0.649519 * P")
    if thread.is_metric:
        yield WorkingStep("d_3 = d - 1.226869 * P", note=phrase("rounded root of the bolt"))
        yield WorkingStep("A_s = pi / 4 * ((d_2 + d_3) / 2)**2")
    else:
        yield WorkingStep("d_3 = d - 1.190785 * P", note=phrase("UNR: rounded root of the bolt"))
        yield WorkingStep("A_s = pi / 4 * (d - 0.9743 * P)**2")
    if thread.tabulated_drill:
        yield WorkingStep(
            "D_t = D_table", values={"D_table": (found.tap_drill, LENGTH)}, note=phrase("drill of ISO 2306")
        )
    else:
        yield WorkingStep("D_t = d - P", note=phrase("ISO 2306 has no row for this thread"))


_ROUND = 46.0  # mm that the major diameter is drawn


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The bolt from the side, its root as thin lines, with its diameters and its pitch."""
    root = _ROUND * found.minor_diameter / found.major_diameter
    pitch = _ROUND * found.pitch / found.major_diameter
    major, minor = show(found.major_diameter, LENGTH), show(found.minor_diameter, LENGTH)
    items = [
        *threaded(0, 70, _ROUND / 2, root / 2),
        axis(-6, 76),
        diameter(70, root, minor, 10),
        diameter(70, _ROUND, major, 22),
        along(10, 10 + pitch, -_ROUND / 2, phrase("pitch {show}", show=show(found.pitch, LENGTH)), -9),
    ]
    return sheet(
        phrase("Thread from the side"),
        phrase("⌀{major} outside, ⌀{minor} at the root.", major=major, minor=minor),
        items,
    )


CALCULATION = Calculation(
    title=phrase("Thread sizes"),
    question=phrase("What are the sizes of this thread, and which drill makes it?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    drawing=drawing,
    example={"thread": "M12x1.25"},
    transforms=True,
    answered_by="tap_drill",
    cautions=(
        phrase(
            "Measure the pitch with a gauge before cutting: M12x1.25 and M12x1.5, or 1/2-13 UNC and M12, look alike."
        ),
        phrase("The drill suits cutting taps; forming taps need a larger hole, by their maker's table."),
    ),
    sources=(
        Source(phrase("ISO 261, metric sizes and pitches"), "1998", phrase("table 2"), "from memory"),
        Source(phrase("ISO 724, basic dimensions"), "1993", phrase("clause 4 and table 1"), "from memory"),
        Source(
            phrase("ISO 898-1, nominal stress area"),
            "2013",
            phrase("9.1.6.1; areas read in a public reproduction"),
            "read",
        ),
        Source(
            phrase("ASME B1.1, Unified inch threads"),
            "2003",
            phrase("UNC and UNF tables, in public reproductions"),
            "read",
        ),
        Source(phrase("ISO 2306, drills for tapping"), "1972", "tables", "from memory"),
    ),
    limits=(
        phrase("Metric threads M3 to M39 with the pitches of ISO 261; UNC, UNF and UNEF from #4 to 1 1/2 in."),
        phrase("Basic sizes, before tolerance and coating."),
    ),
)

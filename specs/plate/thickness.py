"""How thick a plate must be for what it holds: pure over its holes, lengths in mm.

Threads: the engagement at which the bolt breaks first (thread-engagement, FED-STD-H28/2), and a pitch more for the
chamfers. Sunk heads: the head's depth and a floor under it. Dowels: as deep as they are thick, in the plate and in the
face alike. Floor, pitch and dowel depth are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from specs.engine.answer import Answer
from specs.engine.calculation import find
from specs.engine.checks import Verdict
from specs.engine.entry import solve
from specs.engine.units import LENGTH, STRESS
from specs.phrase import joined, phrase
from specs.plate.machining import FaceHole, seat_depth
from specs.standards import classes, dowels, heads, materials, threads
from specs.written import num


@dataclass(frozen=True)
class ThicknessNeed:
    """One thing that the plate must be thick enough for: which holes, how thick [mm], how that was found.

    `needed` is None where it cannot be told, and `working` says why. answer: the calculation behind it.
    """

    what: str
    holes: tuple[str, ...]
    needed: float | None
    working: str
    answer: Answer | None = None

    def verdict(self, thickness: float, tolerance: float = 0.0) -> Verdict:
        """What comes of it with a plate of thickness ± tolerance [mm]: sure only where it is so at both ends."""
        if self.needed is None:
            return "not known"
        held = [self.needed <= thickness + half + 1e-9 for half in (-tolerance, tolerance)]
        return "holds" if all(held) else "too close to call" if any(held) else "fails"


def needs(
    holes: Sequence[tuple[str, FaceHole]], thickness: float, alloy: str, grade: str, floor: float
) -> tuple[ThicknessNeed, ...]:
    """What named holes of a plate ask of its thickness [mm].

    alloy: a material of the table. grade: of the bolts, by their tensile strength. floor: metal under a sunk head.
    """
    found: list[ThicknessNeed] = []
    for kind, ask in (("tapped", _thread), ("clearance", _head), ("countersunk", _head), ("dowel", _dowel)):
        for size, names in _alike(holes, kind):
            if kind != "clearance" or size.head_diameter > size.diameter:
                found.append(ask(size, names, thickness, alloy, grade, floor))
    return tuple(found)


def _alike(holes: Iterable[tuple[str, FaceHole]], kind: str) -> Iterator[tuple[FaceHole, tuple[str, ...]]]:
    """Holes of a kind that ask the same, one of them with the names of all."""
    groups: dict[tuple[str, float, float], list[tuple[str, FaceHole]]] = {}
    for name, hole in holes:
        if hole.kind == kind:
            size = hole.diameter if kind == "dowel" or not hole.thread else 0.0
            groups.setdefault((hole.thread, size, hole.head_diameter), []).append((name, hole))
    for those in groups.values():
        yield those[0][1], tuple(name for name, _ in those)


def _thread(
    hole: FaceHole, names: tuple[str, ...], thickness: float, alloy: str, grade: str, floor: float
) -> ThicknessNeed:
    what = (
        phrase("threads {thread}", thread=hole.thread)
        if hole.thread
        else phrase("threads, major {num} mm", num=num(hole.diameter))
    )
    if not hole.thread:
        return ThicknessNeed(
            what, names, None, phrase("The thread is not on record: say it in the face's hole pattern.")
        )
    thread, material = threads.find(hole.thread), materials.find(alloy)
    try:
        strength = classes.find(grade, thread)
    except classes.UnknownGrade as unknown:
        return ThicknessNeed(what, names, None, f"{unknown}.")
    pitch = thread.pitch * 1000
    request = {
        "thread": hole.thread,
        "engagement": max(thickness - pitch, 0.1),
        "bolt_tensile_strength": STRESS.from_si(strength.tensile),
        "nut_shear_strength": STRESS.from_si(material.shear_lowest),
    }
    calculation = find("thread-engagement")
    assert calculation is not None
    answer = solve(calculation, request)
    least = LENGTH.from_si(answer.found.minimum_engagement)
    working = phrase(
        "{num} mm of full thread until a {grade} bolt breaks first in {alloy} (shear "
        "{from_si} MPa) + {num_2} mm, a pitch for the chamfers",
        num=num(least, ".2f"),
        grade=grade,
        alloy=alloy,
        from_si=f"{STRESS.from_si(material.shear_lowest):.0f}",
        num_2=num(pitch),
    )
    return ThicknessNeed(what, names, least + pitch, working, answer)


def _head(
    hole: FaceHole, names: tuple[str, ...], thickness: float, alloy: str, grade: str, floor: float
) -> ThicknessNeed:
    kind = "countersunk" if hole.kind == "countersunk" else "socket"
    heads_said = phrase("countersunk heads") if kind == "countersunk" else phrase("socket heads")
    what = joined(" ", filter(None, [heads_said, hole.thread]))
    if not hole.thread:
        return ThicknessNeed(
            what, names, None, phrase("The thread is not on record, so the head's height is not known.")
        )
    head, deep = heads.find(kind, threads.find(hole.thread)), seat_depth(hole)
    height = head.height * 1000
    more = "" if kind == "countersunk" else phrase(" + {num} mm below flush", num=num(deep - height, ".1f"))
    working = phrase(
        "head {num} mm ({title}){more} + {num_2} mm left under the head",
        num=num(height),
        title=head.source.title,
        more=more,
        num_2=num(floor),
    )
    return ThicknessNeed(what, names, deep + floor, working)


def _dowel(
    hole: FaceHole, names: tuple[str, ...], thickness: float, alloy: str, grade: str, floor: float
) -> ThicknessNeed:
    pin = dowels.nearest(hole.diameter / 1000)
    what = phrase("dowels {num} mm", num=num(hole.diameter))
    if pin is None:
        return ThicknessNeed(
            what,
            names,
            hole.diameter,
            phrase("as deep in the plate as the pin is thick; ISO 8734 makes no pin of this diameter"),
        )
    # A pin through the whole plate that stands its own diameter deep in the face.
    long = next((length for length in pin.lengths if length * 1000 >= 2 * hole.diameter), None)
    length = phrase("; shortest pin for both parts: {num} mm (ISO 8734)", num=num(long * 1000)) if long else ""
    return ThicknessNeed(
        what, names, hole.diameter, phrase("as deep in the plate as the pin is thick{length}", length=length)
    )

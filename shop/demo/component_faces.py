"""The demo's measured faces and torque specs, as tables: every figure is invented."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

Hole = tuple[str, float, float, float, str, str]
HOLE_FIELDS = ("name", "x", "y", "diameter", "kind", "thread")


@dataclass(frozen=True)
class Pattern:
    """A face measured once: holes as (name, x, y, diameter, kind, thread), mm."""

    component: str
    face: str
    datum: str
    seen_from: str
    instrument: str
    who: str
    days_ago: int
    holes: tuple[Hole, ...]
    outline: tuple[tuple[float, float], ...] = ()
    notes: str = ""
    probed: int = 0


@dataclass(frozen=True)
class Torque:
    """A torque spec; without a published figure it is calculated."""

    component: str
    place: str
    thread: str
    grade: str
    count: int
    condition: str
    head: str = "hex"
    bearing: str = ""
    published: str = ""
    source: str = ""
    stages: tuple[str, ...] = ()
    single_use: bool = False
    notes: str = ""


_ENGINE_BOLTS = (
    (12, 161.0),
    (40, 158.5),
    (68, 166.0),
    (112, 166.0),
    (140, 158.5),
    (168, 161.0),
    (222, 149.0),
    (318, 149.0),
)
_GEARBOX_BOLTS = (
    (8, 152.0),
    (35, 170.0),
    (75, 158.0),
    (105, 158.0),
    (145, 170.0),
    (172, 152.0),
    (230, 160.5),
    (310, 160.5),
)


def _round_face(
    bolts: tuple[tuple[float, float], ...], dowels: float, bolt: float, kind: str, thread: str, side: float = 1.0
) -> tuple[Hole, ...]:
    """Eight bolts by angle and radius and two dowels on the axis's height; `side` −1 as seen from the other side."""
    placed = [(round(side * r * cos(radians(a)), 2), round(r * sin(radians(a)), 2)) for a, r in bolts]
    holes = tuple((f"B{at}", x, y, bolt, kind, thread) for at, (x, y) in enumerate(placed, start=1))
    return (("D1", -side * dowels, 0.0, 12.0, "dowel", ""), ("D2", side * dowels, 0.0, 12.0, "dowel", ""), *holes)


_OUTLINE = tuple((round(190 * cos(radians(a)), 1), round(182 * sin(radians(a)), 1)) for a in range(0, 360, 15))

PATTERNS = (
    Pattern(
        "V6-30",
        "rear face of the block",
        "crank axis; x to the right along the dowels, y up",
        "gearbox",
        "probe on the milling machine",
        "tibor",
        260,
        _round_face(_ENGINE_BOLTS, 150.0, 10.0, "tapped", "M10"),
        _OUTLINE,
        "Bolt B7 is reached only with the starter off.",
        probed=6,
    ),
    Pattern(
        "QZ-5",
        "front face of the bellhousing",
        "input shaft axis; x to the right along the dowels, y up",
        "gearbox",
        "height gauge on the surface plate",
        "tibor",
        255,
        _round_face(_GEARBOX_BOLTS, 143.0, 11.0, "clearance", "M10"),
        _OUTLINE,
        "First measurement.",
    ),
    Pattern(
        "QZ-5",
        "front face of the bellhousing",
        "input shaft axis; x to the right along the dowels, y up",
        "gearbox",
        "caliper 300",
        "ama",
        35,
        _round_face(_GEARBOX_BOLTS, 143.05, 11.0, "clearance", "M10", side=-1.0),
        (),
        "Second measurement, on the bench, face up.",
    ),
)

TORQUE_SPECS = (
    Torque(
        "V6-30",
        "flywheel to crank",
        "M10x1.25",
        "10.9",
        8,
        "locking compound",
        published="82 Nm",
        source="Orvane workshop manual, 2nd ed., p. 88",
        stages=("30 Nm", "82 Nm"),
        single_use=True,
        notes="Clean the threads in the crank; they go through to the oil.",
    ),
    Torque(
        "V6-30",
        "main bearing caps",
        "M12",
        "10.9",
        8,
        "oiled",
        published="60 Nm",
        source="Orvane workshop manual, 2nd ed., p. 71",
        stages=("30 Nm", "60 Nm", "90°"),
        single_use=True,
        notes="The torque is only the snug stage: the angle does the rest.",
    ),
    Torque("QZ-5", "bellhousing to plate", "M10", "8.8", 8, "oiled"),
    Torque(
        "QZ-5",
        "bellhousing to gear case",
        "M12",
        "8.8",
        6,
        "dry",
        published="95 Nm",
        source="Teskel service sheet 14",
    ),
    Torque(
        "C240-62",
        "clutch cover to flywheel",
        "M8",
        "8.8",
        6,
        "oiled",
        published="38 Nm",
        source="leaflet in the box, no date",
        notes="The leaflet may mean the larger cover with M10 bolts: ask the maker.",
    ),
    Torque(
        "P-88 two-joint shaft",
        "rear flange to pinion",
        "3/8-16 UNC",
        "SAE 8",
        4,
        "locking compound",
        bearing="0.47 in",
        published="45 lbf ft",
        source="Brightwell chassis manual, p. 203",
        single_use=True,
    ),
    Torque("AP-01 V6-30 to QZ-5", "plate to block", "M10", "10.9", 8, "oiled", head="socket"),
)


@dataclass(frozen=True)
class Mating:
    """A mating feature; its sizes are dimensions of the component, by name."""

    component: str
    kind: str
    form: str
    name: str
    sizes: tuple[tuple[str, str], ...]
    count: int | None = None


def _hub(component: str, teeth: int) -> Mating:
    sizes = (("major diameter", "hub spline major diameter"), ("minor diameter", "hub spline minor diameter"))
    return Mating(component, "spline", "outer", "hub spline", sizes, teeth)


MATING = (
    Mating(
        "QZ-5",
        "spline",
        "inner",
        "input spline",
        (("major diameter", "input spline major diameter"), ("minor diameter", "input spline minor diameter")),
        22,
    ),
    _hub("D240-22", 22),
    _hub("D240-23F", 23),
    _hub("V6-30 disc", 22),
    Mating("QZ-5", "pilot", "inner", "pilot nose", (("diameter", "pilot nose diameter"),)),
    Mating("V6-30", "pilot", "outer", "pilot bore", (("diameter", "pilot bore"),)),
    Mating("V6-30", "register", "inner", "crank spigot", (("diameter", "crank flange register"),)),
    Mating("V6-30 flywheel", "register", "outer", "flywheel register", (("diameter", "register bore"),)),
)

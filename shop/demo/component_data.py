"""The demo's components and readings, as tables: every maker, part and figure is invented."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class DemoReading:
    """One reading as somebody typed it, so many days ago."""

    typed: str
    tolerance: str
    instrument: str
    who: str
    days_ago: int
    specimen: str = ""
    note: str = ""


@dataclass(frozen=True)
class DemoComponent:
    """A component with its dimensions: name → (kind, datum, readings…)."""

    kind: str
    maker: str
    name: str
    notes: str
    specimens: tuple[str, ...] = ()
    dimensions: dict[str, tuple] = field(default_factory=dict)


def _length(datum: str, *readings: DemoReading) -> tuple:
    return ("length", datum, *readings)


def _caliper(typed: str, who: str, days_ago: int, specimen: str = "", note: str = "") -> DemoReading:
    return DemoReading(typed, "0.05 mm", "caliper 150 no. 2", who, days_ago, specimen, note)


def _depth(typed: str, who: str, days_ago: int, specimen: str = "", note: str = "") -> DemoReading:
    return DemoReading(typed, "0.1 mm", "depth gauge no. 1", who, days_ago, specimen, note)


def _micrometer(typed: str, who: str, days_ago: int, specimen: str = "", note: str = "") -> DemoReading:
    return DemoReading(typed, "0.01 mm", "micrometer 0–25", who, days_ago, specimen, note)


def _sheet(typed: str, tolerance: str, days_ago: int, note: str = "") -> DemoReading:
    return DemoReading(typed, tolerance, "maker's data sheet", "tibor", days_ago, "", note)


COMPONENTS = (
    DemoComponent(
        "engine",
        "Orvane",
        "V6-30",
        "3.0 litre V6, iron block, two dowels on the crank's height at the rear.",
        ("OV-4471", "OV-5120"),
        {
            "engine torque": ("torque", "at the crank, highest", _sheet("310 Nm", "10 Nm", 410)),
            "highest engine speed": ("speed", "at the limiter", _sheet("6400 rpm", "50 rpm", 410)),
            "crank flange to block face": _length(
                "rear face of the crank flange to the rear face of the block, flange behind +",
                _depth("12,4", "jonas", 300, "OV-4471"),
                _depth("12.45 mm", "tibor", 120, "OV-4471"),
            ),
            "pilot bore": _length(
                "bore in the end of the crank",
                DemoReading("15.02 mm", "0.01 mm", "bore gauge", "tibor", 300, "OV-4471"),
            ),
            "pilot bore depth": _length(
                "from the crank flange face inward", _depth("28.6 mm", "tibor", 300, "OV-4471")
            ),
            "crank flange register": _length(
                "spigot that centres the flywheel", _caliper("60,02 mm", "tibor", 300, "OV-4471")
            ),
            "dowel height": _length(
                "dowel standing out of the block face",
                _caliper("9.8 mm", "ama", 280, "OV-4471"),
                _caliper("3/8 in", "jonas", 60, "OV-5120"),
            ),
        },
    ),
    DemoComponent(
        "gearbox",
        "Teskel",
        "QZ-5",
        "Five forward gears, separate bellhousing, slave cylinder outside.",
        ("TK-0917", "TK-1033"),
        {
            "bellhousing depth": _length(
                "engine face of the bellhousing to its bearing retainer face",
                _depth("171.9 mm", "jonas", 310, "TK-0917"),
                _depth("172.6 mm", "ama", 40, "TK-0917", "measured after the face was cleaned"),
            ),
            "input shaft projection": _length(
                "tip of the input shaft in front of the engine face of the bellhousing, inside −",
                DemoReading("33.8 mm", "0.2 mm", "straight edge and depth gauge", "jonas", 310, "TK-0917"),
            ),
            "pilot nose diameter": _length(
                "nose of the input shaft", _micrometer("14.985 mm", "tibor", 310, "TK-0917")
            ),
            "pilot nose length": _length("from the tip to the shoulder", _caliper("22.3 mm", "tibor", 310, "TK-0917")),
            "input spline major diameter": _length(
                "over the teeth",
                _caliper("25.35 mm", "tibor", 310, "TK-0917"),
                _caliper("0.998 in", "ama", 40, "TK-1033"),
            ),
            "input spline minor diameter": _length("in the roots", _caliper("22.1 mm", "tibor", 310, "TK-0917")),
            "spline start": _length("from the tip back to the first full tooth", _caliper("31.0 mm", "tibor", 310)),
            "spline end": _length("from the tip back to the last full tooth", _depth("108.5 mm", "tibor", 310)),
            "first gear ratio": ("ratio", "counted: input turns to one output turn", _sheet("3.78", "0", 400)),
            "fifth gear ratio": ("ratio", "counted", _sheet("0.82", "0", 400)),
            "gearbox mass": (
                "mass",
                "with oil",
                DemoReading("38.5 kg", "0.5 kg", "crane scale", "jonas", 305, "TK-0917"),
            ),
        },
    ),
    DemoComponent(
        "clutch disc",
        "Dunmere",
        "D240-22",
        "Sprung hub, woven facings.",
        ("22-A",),
        {
            "outside diameter": _length("of the facing", _caliper("240 mm", "ama", 200, "22-A")),
            "inside diameter": _length("of the facing", _caliper("160 mm", "ama", 200, "22-A")),
            "hub spline major diameter": _length("in the roots of the hub", _caliper("25.5 mm", "tibor", 200, "22-A")),
            "hub spline minor diameter": _length("over the hub's teeth", _caliper("22.3 mm", "tibor", 200, "22-A")),
            "hub length": _length("spline of the hub", _caliper("26.0 mm", "tibor", 200, "22-A")),
            "thickness": _length(
                "clamped, facing to facing", DemoReading("8.3 mm", "0.1 mm", "caliper and weights", "ama", 200, "22-A")
            ),
        },
    ),
    DemoComponent(
        "clutch disc",
        "Dunmere",
        "D240-23F",
        "As D240-22 with the finer spline.",
        ("23-B",),
        {
            "outside diameter": _length("of the facing", _caliper("240 mm", "ama", 190)),
            "hub spline major diameter": _length("in the roots of the hub", _caliper("25.1 mm", "tibor", 190, "23-B")),
            "hub spline minor diameter": _length("over the hub's teeth", _caliper("22.6 mm", "tibor", 190, "23-B")),
        },
    ),
    DemoComponent(
        "clutch disc",
        "Orvane",
        "V6-30 disc",
        "The disc that came with the engine.",
        (),
        {
            "hub spline major diameter": _length("in the roots of the hub", _caliper("29.1 mm", "jonas", 290)),
            "hub spline minor diameter": _length("over the hub's teeth", _caliper("26.0 mm", "jonas", 290)),
        },
    ),
    DemoComponent(
        "clutch cover",
        "Dunmere",
        "C240-62",
        "Diaphragm cover, six bolts.",
        ("62-A",),
        {
            "clamp force": ("force", "new, at working height", _sheet("6200 N", "300 N", 205)),
            "release force": ("force", "at the bearing, highest", _sheet("1.55 kN", "0.1 kN", 205)),
            "required release travel": _length("at the bearing, for a free disc", _sheet("7.5 mm", "0.3 mm", 205)),
            "finger height": _length(
                "diaphragm tips above the flywheel face, new disc",
                DemoReading("52.0 mm", "0.3 mm", "depth gauge no. 1", "ama", 180, "62-A"),
                DemoReading("2.06 in", "0.02 in", "depth gauge no. 1", "jonas", 30, "62-A"),
            ),
        },
    ),
    DemoComponent(
        "flywheel",
        "Orvane",
        "V6-30 flywheel",
        "Flat, 8 bolts, spheroidal iron.",
        ("FW-2",),
        {
            "face height": _length(
                "friction face in front of the crank flange face", _depth("24.1 mm", "tibor", 290, "FW-2")
            ),
            "outside diameter": _length(
                "without the ring gear", DemoReading("279 mm", "0.2 mm", "caliper 300", "tibor", 290)
            ),
            "register bore": _length("on the crank spigot", _caliper("60.05 mm", "tibor", 290, "FW-2")),
            "flywheel mass": (
                "mass",
                "with ring gear",
                DemoReading("9.4 kg", "0.1 kg", "bench scale", "ama", 288, "FW-2"),
            ),
        },
    ),
    DemoComponent(
        "adapter plate",
        "Own make",
        "AP-01 V6-30 to QZ-5",
        "6082-T6, drilled for both faces.",
        ("AP-01/1",),
        {
            "plate thickness": _length("over the whole face", _caliper("20,0 mm", "tibor", 90, "AP-01/1")),
            "register bore in plate": _length(
                "for the bellhousing spigot", DemoReading("125.02 mm", "0.02 mm", "bore gauge", "tibor", 88, "AP-01/1")
            ),
        },
    ),
    DemoComponent(
        "release bearing",
        "Pellworth",
        "RB-52",
        "Ring-shaped slave with its bearing.",
        ("RB-52/3",),
        {
            "slave bore": _length("outer diameter of the ring", _caliper("52.0 mm", "ama", 150, "RB-52/3")),
            "slave inner diameter": _length("guide tube of the ring", _caliper("35.0 mm", "ama", 150, "RB-52/3")),
            "bearing stroke": _length("pushed back to fully out", _depth("17.5 mm", "ama", 150, "RB-52/3")),
            "bearing height": _length(
                "pushed back on its riser, from the foot", _depth("95.2 mm", "ama", 150, "RB-52/3")
            ),
        },
    ),
    DemoComponent(
        "hydraulic cylinder",
        "Pellworth",
        "MC-19",
        "Master cylinder.",
        (),
        {"bore": _length("of the barrel", _sheet("3/4 in", "0.02 mm", 150))},
    ),
    DemoComponent(
        "propshaft",
        "Brightwell",
        "P-88 two-joint shaft",
        "Tube with two cardan joints and a sliding spline at the front.",
        ("PS-14",),
        {
            "length between joints": _length(
                "centre to centre, slip half out",
                DemoReading("1372 mm", "1 mm", "steel tape", "jonas", 100, "PS-14"),
                DemoReading("54 in", "1/8 in", "steel tape", "ama", 20, "PS-14", "tape hooked on the yoke"),
            ),
            "tube outside diameter": _length("bare tube", _caliper("76.2 mm", "tibor", 100, "PS-14")),
            "tube wall": _length(
                "by ultrasonic gauge", DemoReading("1.65 mm", "0.05 mm", "wall gauge", "tibor", 100, "PS-14")
            ),
            "slip travel": _length("spline, fully in to fully out", DemoReading("88 mm", "1 mm", "rule", "jonas", 100)),
        },
    ),
    DemoComponent(
        "axle",
        "Brightwell",
        "A-373",
        "Live axle, ratio stamped on the tag.",
        (),
        {
            "final drive": ("ratio", "counted: pinion turns to one wheel turn", _sheet("3.73", "0", 400)),
            "pinion angle": (
                "angle",
                "nose up +, at ride height",
                DemoReading("3.2°", "0.3°", "angle gauge", "ama", 50),
            ),
        },
    ),
    DemoComponent(
        "mount",
        "Own make",
        "GM-02 gearbox mount",
        "Cross member with two rubber blocks.",
        (),
        {
            "mount spacing": _length(
                "centre to centre of the blocks", DemoReading("180 mm", "1 mm", "rule", "jonas", 70)
            )
        },
    ),
    DemoComponent(
        "starter",
        "Orvane",
        "V6-30 starter",
        "On the engine's left, in the bellhousing's window.",
        (),
        {"nose diameter": _length("of the snout", _caliper("74 mm", "jonas", 285))},
    ),
)

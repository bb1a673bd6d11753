"""Can I leave one bolt out?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

_SHARED = ("bolts", "dowels", "torque", "force_x", "force_y", "mu")

QUESTION = Question(
    title=phrase("Can I leave one bolt out?"),
    parts=(
        QuestionPart("all", "bolt-group", phrase("The joint with every bolt"), fixed={"omit": ()}),
        QuestionPart(
            "less",
            "bolt-group",
            phrase("The joint without those left out"),
            shares={name: f"all.{name}" for name in _SHARED},
        ),
    ),
    short=("less.slip_margin", "less.capacity_lost", "less.peak_bolt", "less.peak_shear"),
    example={
        "all_bolts": [
            {"name": f"B{at}", "x": x, "y": y, "preload": 30000}
            for at, (x, y) in enumerate([(150, 40), (90, 140), (-90, 140), (-150, 40), (-120, -90), (120, -90)], 1)
        ],
        "all_dowels": [
            {"name": "D1", "x": 160, "y": 0, "diameter": 10, "shear_strength": 300},
            {"name": "D2", "x": -160, "y": 0, "diameter": 10, "shear_strength": 300},
        ],
        "all_torque": 1200,
        "all_mu": 0.15,
        "less_omit": ["B2"],
    },
    decided_by=("less",),
    says=(phrase("Without {less.omit}, {less.capacity_lost%} of the friction torque is gone."),),
    not_checked=(
        phrase("bending of the bellhousing between the bolts that remain, and the gap that may open there"),
        phrase("sealing, if the joint keeps oil or fluid in"),
        phrase("fatigue: a joint that slips a little each time loosens or breaks bolts in the end"),
        phrase("whether the remaining bolts really have the preload: tighten and mark each one"),
        phrase("a person who knows this casing must look before a bolt is left out"),
    ),
)

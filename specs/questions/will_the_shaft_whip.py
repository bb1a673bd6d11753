"""Will the shaft whip?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("Will the shaft whip?"),
    parts=(
        QuestionPart("shaft", "propshaft-speed", phrase("Tube and speed")),
        QuestionPart(
            "twist",
            "propshaft-torsion",
            phrase("Torque through it"),
            shares={
                "outside_diameter": "shaft.outside_diameter",
                "wall": "shaft.wall",
                "length": "shaft.length",
            },
            optional=True,
        ),
    ),
    short=("shaft.critical_speed", "shaft.allowable_speed", "twist.shear_stress", "twist.safety_factor"),
    example={
        "shaft_outside_diameter": 76.2,
        "shaft_wall": 2.1,
        "shaft_length": 1250,
        "shaft_shaft_speed": 5200,
        "twist_torque": 1800,
        "twist_shear_yield": 200,
    },
    decided_by=("shaft",),
    yes="No",
    no="Yes",
    says=(
        phrase(
            "It whirls at {shaft.critical_speed}; {shaft.allowable_speed} is allowed, {shaft.shaft_speed} is wanted."
        ),
    ),
    not_checked=(
        phrase("yokes, slip joint and a centre bearing, which lower the whirling speed"),
        phrase("balance, dents and run-out of this tube"),
        phrase("joint angles and phasing: see the joint calculations"),
        phrase("the welds: a propshaft is welded and balanced by somebody qualified to do it, and guarded by a hoop"),
    ),
)

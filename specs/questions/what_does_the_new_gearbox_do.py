"""What does the new gearbox do to the revs and the speedometer?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("What does the new gearbox do to the revs and the speedometer?"),
    parts=(
        QuestionPart("old_tyre", "tyre", phrase("Tyre as it was")),
        QuestionPart("new_tyre", "tyre", phrase("Tyre as it will be"), shares={"deflection": "old_tyre.deflection"}),
        QuestionPart(
            "old",
            "gearing",
            phrase("Gearbox and axle as they were"),
            takes={"rolling_radius": "old_tyre.rolling_radius"},
            shares={"deflection": "old_tyre.deflection"},
            fixed={"designation": None},
        ),
        QuestionPart(
            "new",
            "gearing",
            phrase("Gearbox and axle as they will be"),
            takes={"rolling_radius": "new_tyre.rolling_radius"},
            shares={"deflection": "old_tyre.deflection", "engine_speed": "old.engine_speed"},
            fixed={"designation": None},
        ),
        QuestionPart(
            "dial",
            "speedometer",
            "Speedometer",
            takes={"old_circumference": "old_tyre.circumference", "new_circumference": "new_tyre.circumference"},
            optional=True,
        ),
    ),
    short=("old.speeds", "new.speeds", "new.speed_after_shift", "dial.true", "dial.correction"),
    example={
        "old_tyre_designation": "205/60R16",
        "new_tyre_designation": "225/55R17",
        "old_ratios": [2.4, 1.47, 1.0],
        "old_final_drive": 3.23,
        "old_engine_speed": 3000,
        "new_ratios": [3.6, 2.1, 1.4, 1.0, 0.8],
        "new_final_drive": 3.23,
        "dial_old_drive": 3.23,
        "dial_new_drive": 3.46,
        "dial_shown": 100,
    },
    says=(
        phrase("In the gears, at {old.engine_speed}: {new.speeds}; before: {old.speeds}."),
        phrase("Where the speedometer shows {dial.shown}, the true speed is {dial.true}."),
    ),
    not_checked=(
        phrase("wheel slip and the tyre's wear and pressure: drive a measured distance to be sure"),
        phrase("the speedometer's own error as it was before"),
        phrase("whether the change must be reported or inspected where the vehicle is registered"),
        phrase("the odometer, cruise control, anti-lock brakes and automatic emergency call that use the same signal"),
    ),
)

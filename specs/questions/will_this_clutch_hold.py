"""Will this clutch hold this engine?"""

from specs.engine.question import Question, QuestionPart

QUESTION = Question(
    title="Will this clutch hold this engine?",
    parts=(
        QuestionPart("clutch", "clutch-capacity", "Clutch and engine"),
        QuestionPart("vehicle", "reflected-inertia", "Vehicle, to judge the heat of pulling away", optional=True),
        QuestionPart(
            "start",
            "clutch-engagement",
            "One pull-away",
            takes={"clutch_torque": "clutch.capacity", "driven_inertia": "vehicle.inertia"},
            shares={"engine_torque": "clutch.engine_torque"},
            optional=True,
        ),
    ),
    short=("clutch.capacity", "clutch.service_factor", "start.slip_time", "start.temperature_rise"),
    example={
        "clutch_outside_diameter": 240,
        "clutch_inside_diameter": 155,
        "clutch_mu": 0.3,
        "clutch_clamp_force": 9000,
        "clutch_engine_torque": 350,
        "clutch_minimum_service_factor": 1.3,
        "vehicle_mass": 1450,
        "vehicle_tyre_radius": 310,
        "vehicle_overall_ratio": 12.6,
        "start_engine_inertia": 0.2,
        "start_speed_difference": 2500,
        "start_absorbing_mass": 8,
    },
    not_checked=(
        "whether the clamp force is that of this cover, new or worn: ask its maker or have it measured",
        "whether the disc's spline, hub and springs carry the torque",
        "repeated starts: the heat is that of one engagement without cooling",
        "the shocks of a dropped clutch, which the rest of the driveline feels",
    ),
)

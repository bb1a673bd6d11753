"""Will this clutch hold this engine?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("Will this clutch hold this engine?"),
    parts=(
        QuestionPart("clutch", "clutch-capacity", phrase("Clutch and engine")),
        QuestionPart(
            "vehicle", "reflected-inertia", phrase("Vehicle, to judge the heat of pulling away"), optional=True
        ),
        QuestionPart(
            "start",
            "clutch-engagement",
            phrase("One pull-away"),
            takes={"clutch_torque": "clutch.capacity", "driven_inertia": "vehicle.inertia"},
            shares={
                "outside_diameter": "clutch.outside_diameter",
                "inside_diameter": "clutch.inside_diameter",
            },
            optional=True,
        ),
    ),
    short=("clutch.capacity", "clutch.service_factor", "start.slip_time", "start.face_temperature_rise"),
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
        "start_slipping_torque": 110,
        "start_load_torque": 10,
        "start_absorbing_mass": 8,
        "start_pressure_plate_mass": 4.5,
    },
    decided_by=("clutch",),
    says=(phrase("It carries {clutch.capacity}; the engine gives {clutch.engine_torque}."),),
    not_checked=(
        phrase("whether the clamp force is that of this cover: ask its maker or have it measured"),
        phrase("whether the disc's spline, hub and springs carry the torque"),
        phrase("cooling between starts, and fading of the lining as it heats"),
        phrase("the shocks of a dropped clutch, which the rest of the driveline feels"),
    ),
)

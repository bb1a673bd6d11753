"""Is the pedal light enough, and does the clutch release?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("Is the pedal light enough, and does the clutch release?"),
    parts=(
        QuestionPart("pedal", "clutch-hydraulics", phrase("Pedal, cylinders and fork")),
        QuestionPart(
            "bearing",
            "release-bearing-gap",
            phrase("Bearing against the fingers"),
            shares={"required_travel": "pedal.required_travel"},
            optional=True,
        ),
    ),
    short=("pedal.pedal_force", "pedal.release_travel", "bearing.gap", "bearing.gap_worn"),
    example={
        "pedal_pedal_ratio": 6,
        "pedal_pedal_travel": 140,
        "pedal_free_play": 8,
        "pedal_master_bore": 19.05,
        "pedal_slave_bore": 22.2,
        "pedal_fork_ratio": 1.9,
        "pedal_release_force": 1700,
        "pedal_bearing_clearance": 1,
        "pedal_required_travel": 8,
        "pedal_maximum_travel": 12,
        "pedal_maximum_pedal_force": 160,
        "bearing_finger_height": 62,
        "bearing_adapter_thickness": 20,
        "bearing_bellhousing_depth": 145,
        "bearing_bearing_height": 98,
        "bearing_bearing_stroke": 16,
        "bearing_disc_wear": 1.5,
        "bearing_lever_ratio": 3.6,
    },
    decided_by=("pedal", "bearing"),
    says=(phrase("The pedal takes {pedal.pedal_force} and moves the bearing by {pedal.release_travel}."),),
    not_checked=(
        phrase("swelling hoses, air in the fluid and flex of the pedal box, which all eat travel"),
        phrase("whether the master's cut-off port opens with the pedal up"),
        phrase("the disc dragging on its spline or pilot although the cover is fully released"),
        phrase("whether the pedal swings clear of the brake pedal, the floor and the steering column"),
    ),
)

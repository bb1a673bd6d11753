"""What does the wrench read with the crow's foot on?"""

from specs.question import Part, Question

QUESTION = Question(
    title="What does the wrench read with the crow's foot on?",
    parts=(
        Part("wrench", "wrench-adapter", "Wrench and adapter"),
        Part(
            "stages",
            "tightening-sequence",
            "Order and stages to set on the wrench",
            takes={"torque": "wrench.setting"},
            optional=True,
        ),
    ),
    short=("wrench.setting", "stages.order", "stages.stage_torques"),
    example={
        "wrench_target": 80,
        "wrench_wrench_length": 420,
        "wrench_extension": 55,
        "stages_count": 8,
    },
    not_checked=(
        "whether the torque wanted is the right figure for this bolt: the maker's comes first",
        "the wrench's calibration",
        "angle stages: an adapter changes the torque that is read, not the angle that is turned",
    ),
)

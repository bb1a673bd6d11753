"""What do I set the wrench to with a crow's foot?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("What do I set the wrench to with a crow's foot?"),
    parts=(
        QuestionPart("wrench", "wrench-adapter", phrase("Wrench and adapter")),
        QuestionPart(
            "stages",
            "tightening-sequence",
            phrase("Sequence and stages to set on the wrench"),
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
    says=(
        phrase("Set the wrench to {wrench.setting!}."),
        phrase("{wrench.setting} worked out, rounded down to what a wrench is set to."),
    ),
    not_checked=(
        phrase("whether the torque wanted is the right figure for this bolt: the maker's comes first"),
        phrase("the wrench's calibration"),
        phrase("angle stages: an adapter changes the torque that is read, not the angle that is turned"),
    ),
)

"""How much shorter must the rod be?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("How much shorter must the rod be?"),
    parts=(QuestionPart("rod", "shifter-move", phrase("Housing, rod and lever")),),
    short=("rod.rod_needed", "rod.mismatch", "rod.knob_shift"),
    example={
        "rod_housing_cut": 60,
        "rod_rod_cut": 58,
        "rod_rod_angle": 4,
        "rod_rod_length": 420,
        "rod_lower_arm": 70,
        "rod_upper_arm": 260,
    },
    decided_by=("rod",),
    yes="Holds",
    no="Fails",
    says=(phrase("The rod must be {rod.rod_needed} shorter; {rod.rod_cut} is cut off."),),
    not_checked=(
        phrase(
            "whether every gear still engages fully: try all, reverse too, with the engine off and the vehicle held"
        ),
        phrase("clearance of the rod to the tunnel, the exhaust and the propshaft through its whole travel"),
        phrase("the weld on the rod: by a qualified person, with the ends straight and in line"),
    ),
)

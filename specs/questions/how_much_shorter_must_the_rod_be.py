"""How much shorter must the rod be?"""

from specs.engine.question import Question, QuestionPart

QUESTION = Question(
    title="How much shorter must the rod be?",
    parts=(QuestionPart("rod", "shifter-move", "Housing, rod and lever"),),
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
    says=("The rod must be {rod.rod_needed} shorter; {rod.rod_cut} is cut off.",),
    not_checked=(
        "whether every gear still engages fully: try all, reverse too, with the engine off and the vehicle held",
        "clearance of the rod to the tunnel, the exhaust and the propshaft through its whole travel",
        "the weld on the rod: by a qualified person, with the ends straight and in line",
    ),
)

"""How long a bolt, and will the alloy thread hold?"""

from specs.engine.question import Question, QuestionPart
from specs.phrase import phrase

QUESTION = Question(
    title=phrase("How long a bolt, and will the alloy thread hold?"),
    parts=(
        QuestionPart("bolt", "bolt-length", phrase("Bolt and layers")),
        QuestionPart(
            "hole",
            "thread-engagement",
            phrase("Thread in the casing"),
            shares={"thread": "bolt.thread", "engagement": "bolt.engagement"},
        ),
    ),
    short=("bolt.standard_length", "hole.weakest", "hole.minimum_engagement"),
    example={
        "bolt_grip": [20, 12],
        "bolt_engagement": 20,
        "bolt_washer": 2,
        "bolt_hole_depth": 26,
        "bolt_thread": "M10",
        "hole_bolt_tensile_strength": 800,
        "hole_nut_shear_strength": 130,
    },
    decided_by=("bolt", "hole"),
    yes="Holds",
    no="Fails",
    says=(
        phrase("A bolt of {bolt.standard_length} fits."),
        phrase("The thread needs {hole.minimum_engagement} of engagement."),
    ),
    not_checked=(
        phrase(
            "the real strength of this casting: its figure scatters, and an old casing may have been welded or heated"
        ),
        phrase("a thread that was stretched or repaired before: gauge it, or fit an insert"),
        phrase("whether the hole is as deep as drawn: measure each one"),
        phrase("loads that come and go"),
    ),
)

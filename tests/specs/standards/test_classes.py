"""A grade has strengths at the sizes that its standard covers, and at no others."""

import pytest

from specs.standards import classes, threads


def strengths(grade: str, designation: str) -> tuple[float, float, float | None]:
    found = classes.find(grade, threads.find(designation))
    return found.tensile / 1e6, found.yield_strength / 1e6, found.proof and found.proof / 1e6


@pytest.mark.parametrize(
    ("grade", "designation", "expected"),
    [
        # ISO 898-1:2013, table 3.
        ("4.6", "M8", (400, 240, 225)),
        ("8.8", "M16x1.5", (800, 640, 580)),
        ("8.8", "M18", (830, 660, 600)),
        ("9.8", "M16", (900, 720, 650)),
        ("12.9", "M39", (1220, 1100, 970)),
        # ISO 3506-1:2009, table 2; it states no proof stress.
        ("A2-70", "M8", (700, 450, None)),
    ],
)
def test_metric_classes_change_with_size_as_printed(
    grade: str, designation: str, expected: tuple[float, float, float | None]
) -> None:
    assert strengths(grade, designation) == expected


@pytest.mark.parametrize(
    ("grade", "designation", "tensile_ksi", "yield_ksi", "proof_ksi"),
    [
        # SAE J429, table 1: grade 2 changes over 3/4 in, grade 5 over 1 in.
        ("SAE 2", "3/4-16 UNF", 74, 57, 55),
        ("SAE 2", "7/8-14 UNF", 60, 36, 33),
        ("SAE 5", "1/4-28 UNF", 120, 92, 85),
        ("SAE 5", "1-8 UNC", 120, 92, 85),
        ("SAE 5", "1 1/8-12 UNF", 105, 81, 74),
        ("SAE 8", "1 1/2-6 UNC", 150, 130, 120),
    ],
)
def test_sae_grades_change_with_size_as_printed(
    grade: str, designation: str, tensile_ksi: float, yield_ksi: float, proof_ksi: float
) -> None:
    ksi = 6.894757293  # MPa, NIST SP 811 appendix B.8
    assert strengths(grade, designation) == pytest.approx((tensile_ksi * ksi, yield_ksi * ksi, proof_ksi * ksi))


@pytest.mark.parametrize(
    ("grade", "designation", "words"),
    [
        ("8.8", "1/2-20 UNF", "does not belong to an inch thread such as 1/2-20 UNF; choose SAE 2, SAE 5, SAE 8"),
        ("SAE 5", "M8", "does not belong to a metric thread such as M8; choose 4.6"),
        ("9.8", "M18", "it covers M1.6 to M16"),
        ("SAE 5", "#10-32 UNF", "it covers 0.25 to 1.5 in"),
        ("7", "M8", "“7” is not a grade; choose 4.6, 4.8"),
    ],
)
def test_refuses_a_grade_that_does_not_exist_for_the_thread(grade: str, designation: str, words: str) -> None:
    with pytest.raises(classes.UnknownGrade) as caught:
        classes.find(grade, threads.find(designation))
    assert words in str(caught.value)


@pytest.mark.parametrize("row", classes.table(), ids=lambda row: f"{row.grade} to {row.largest * 1000:g}")
def test_proof_lies_under_yield_and_yield_under_tensile(row: classes.StrengthClass) -> None:
    assert row.yield_strength < row.tensile
    assert row.proof is None or row.proof < row.yield_strength
    assert row.source.read == "read" or row.grade.startswith("A")

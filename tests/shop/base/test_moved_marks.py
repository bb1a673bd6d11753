"""What a process keeps of questions and marks, for years of rows: little, and once."""

from datetime import date
from decimal import Decimal

from shop.base.moved_marks import one_of_equal, packed, unpacked


def test_what_a_question_is_given_is_packed_to_a_few_bytes_and_comes_back_as_it_was():
    for given in (None, (), (1, 2**40, -3), ("gearbox", None, True, 1.5), [date(2026, 3, 1), Decimal("4.50")]):
        assert unpacked(packed(given)) == given
        assert type(unpacked(packed(given))) is type(given)
    assert packed((1, "a b")) == packed((int("1"), " ".join("ab")))
    assert packed((1,)) != packed((True,)) != packed((1.0,))
    assert len(packed(tuple(range(1000, 2000)))) < 6000


def test_what_rests_on_the_same_marks_holds_them_once():
    marks = [frozenset(f"jobs_step.job_id/{lot}" for lot in range(100)) for _ in range(2)]
    assert marks[0] is not marks[1]
    assert one_of_equal(marks[0]) is one_of_equal(marks[1])

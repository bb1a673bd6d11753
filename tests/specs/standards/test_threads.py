"""Threads are found by the designation that a fitter writes, and by no other."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.standards import threads


@pytest.mark.parametrize(
    ("typed", "designation"),
    [
        ("M12", "M12"),
        ("m12", "M12"),
        (" M 12 ", "M12"),
        ("M12x1.75", "M12"),
        ("M12x1.25", "M12x1.25"),
        ("M12 × 1,25", "M12x1.25"),
        ("M12*1.5", "M12x1.5"),
        ("M15x1.5", "M15x1.5"),
        ("1/2-20 UNF", "1/2-20 UNF"),
        ("1/2-20unf", "1/2-20 UNF"),
        ('1/2"-13 UNC', "1/2-13 UNC"),
        ("#10-32 UNF", "#10-32 UNF"),
        ("# 10 - 24 UNC", "#10-24 UNC"),
        ("1 1/8-12 UNF", "1 1/8-12 UNF"),
        ("1-1/8-12 UNF", "1 1/8-12 UNF"),
        ("1-8 UNC", "1-8 UNC"),
        ("3/8-32 UNEF", "3/8-32 UNEF"),
    ],
)
def test_reads_what_a_fitter_writes(typed: str, designation: str) -> None:
    assert threads.find(typed).designation == designation


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("M13", "M13 is not an ISO 261 size; the nearest are M12 and M14"),
        ("M0", "runs from M3 to M39"),
        ("M64", "runs from M3 to M39"),
        ("M12x9", "its pitches are 1.75, 1.5, 1.25, 1 mm"),
        ("M15", "M15 has no coarse pitch; write the pitch, as in M15x1.5"),
        ("M-10", "write M12, M12x1.25, 1/2-20 UNF"),
        ("12", "“12” is not a thread designation"),
        ("", "is not a thread designation"),
        ("1/2-13 UNF", "1/2-13 UNF is not an ASME B1.1 thread; 1/2 has 1/2-13 UNC, 1/2-20 UNF"),
        ("1/2-20", "lacks its series; write 1/2-13 UNC, 1/2-20 UNF"),
        ("10-32 UNF", "for the number size write #10"),
        ("#7-32 UNF", "the nearest are #6 and #8"),
        ("15/32-20 UNF", "the nearest are 7/16 and 1/2"),
        ("1/0-20 UNF", "the nearest are 1/4 and 5/16"),
        ("M" + "9" * 9000, "is not a thread designation"),
        ("M１２", "is not a thread designation"),
    ],
)
def test_says_what_is_wrong_and_what_is_accepted(typed: str, words: str) -> None:
    with pytest.raises(threads.UnknownThread, match=".*") as caught:
        threads.find(typed)
    assert words in str(caught.value)
    assert len(str(caught.value)) < 200


def answer(typed: str) -> str:
    try:
        return threads.find(typed).designation
    except threads.UnknownThread as refusal:
        return f"refused: {refusal}"


@given(st.text(alphabet='Mm0123456789xX×.,/#- UNFCE"', max_size=20))
def test_any_text_is_a_thread_or_a_worded_refusal(typed: str) -> None:
    answered = answer(typed)
    assert answered == answer(answered) or len(answered) > len("refused: write")


@pytest.mark.parametrize("thread", threads.metric() + threads.unified(), ids=lambda thread: thread.designation)
def test_diameters_stand_in_their_order(thread: threads.Thread) -> None:
    assert threads.find(thread.designation) is thread
    assert thread.minor_diameter < thread.internal_minor_diameter < thread.pitch_diameter < thread.major_diameter
    assert thread.minor_diameter < thread.mean_diameter < thread.pitch_diameter
    assert thread.stress_area == pytest.approx(math.pi / 4 * thread.mean_diameter**2, rel=1e-12)
    assert thread.internal_minor_diameter - 0.05e-3 < thread.tap_drill < thread.pitch_diameter
    assert thread.sources


def test_coarse_threads_grow_in_every_diameter_and_never_fall_in_pitch() -> None:
    coarse = [thread for thread in threads.metric() if thread.series == "metric coarse"]
    for smaller, larger in zip(coarse, coarse[1:], strict=False):
        assert smaller.major_diameter < larger.major_diameter
        assert smaller.stress_area < larger.stress_area
        assert smaller.pitch <= larger.pitch


def test_fine_is_finer_than_coarse_at_every_size() -> None:
    for size in {thread.size for thread in threads.metric() + threads.unified()}:
        pitches = [thread.pitch for thread in threads.metric() + threads.unified() if thread.size == size]
        assert pitches == sorted(pitches, reverse=True)
        assert len(pitches) == len(set(pitches))


def test_no_thread_is_listed_twice() -> None:
    names = [thread.designation for thread in threads.metric() + threads.unified()]
    assert len(names) == len(set(names))


def test_the_table_drill_comes_before_diameter_less_pitch() -> None:
    assert threads.find("M12").tap_drill == 0.0102
    assert threads.find("1/4-32 UNEF").tap_drill == pytest.approx(0.00635 - 0.0254 / 32)

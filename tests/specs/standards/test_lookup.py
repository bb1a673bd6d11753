"""What the tables lack is refused at the input that asked for it."""

import pytest

from specs.engine.calculation import Refused
from specs.standards import lookup, threads


def test_what_the_tables_hold_is_answered() -> None:
    thread = lookup.thread("M10")
    assert thread is threads.find("M10")
    assert lookup.strength("8.8", thread).yield_strength == 640e6
    assert lookup.bearing_diameter("hex", thread) == pytest.approx(0.012815)


def test_each_refusal_names_its_input() -> None:
    inch = threads.find("1/2-20 UNF")
    with pytest.raises(Refused) as refused:
        lookup.thread("M13")
    assert (refused.value.input_name, refused.value.reason[-1]) == ("thread", ".")
    with pytest.raises(Refused) as refused:
        lookup.strength("8.8", inch)
    assert refused.value.input_name == "grade"
    with pytest.raises(Refused) as refused:
        lookup.bearing_diameter("hex", inch)
    assert refused.value.input_name == "bearing_diameter"
    with pytest.raises(Refused) as refused:
        lookup.bearing_diameter("socket", threads.find("M18"))
    assert refused.value.input_name == "head"

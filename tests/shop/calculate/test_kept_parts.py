"""A page of which parts are kept says what one made from nothing says, whatever was asked before and by whom."""

from __future__ import annotations

import re
from contextlib import nullcontext

import pytest
from django.http import QueryDict
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.calculate.address import as_address
from specs.engine.calculation import calculations
from specs.engine.question import questions
from tests.kept import from_nothing
from tests.pseudo import in_pseudo

pytestmark = pytest.mark.django_db

NAMES = ("plate-layout", "bolt-group", "clutch-capacity", "fastener-torque", "shrink-fit", "will-this-clutch-hold")
TYPED = ("", "0", "1.5", "1/2 in", "12 mm", "12 ± 0.1 mm", "rubbish", '<b title="x">', "&amp;", "B")
_EACH_TIME = re.compile(r'name="csrfmiddlewaretoken" value="[^"]*"')


def _example(name: str) -> tuple[str, QueryDict]:
    kind, found = ("question", questions()[name]) if name in questions() else ("calculation", calculations()[name])
    return reverse(f"calculate:{kind}", args=[name]), as_address(found.example)


@st.composite
def asked(draw) -> tuple[str, bool, bool]:
    """An address, whether the site speaks another language, and whether its reader writes 1,5: an example, some of it
    typed otherwise."""
    name = draw(st.sampled_from(NAMES))
    path, query = _example(name)
    query["units"] = draw(st.sampled_from(["metric", "inch"]))
    for key in draw(st.lists(st.sampled_from(sorted(query)), max_size=2)):
        query[key] = draw(st.sampled_from(TYPED))
    return f"{path}?{query.urlencode()}", draw(st.booleans()), draw(st.booleans())


@pytest.fixture
def readers(fitter, machinist, prefer):
    prefer("machinist", decimal_mark=",")
    return fitter, machinist


def _page(readers, address: str, other_language: bool, comma: bool) -> str:
    with in_pseudo() if other_language else nullcontext():
        told = readers[comma].get(address, headers={"Cache-Control": "no-cache"})
    assert told.status_code == 200
    return _EACH_TIME.sub("", told.content.decode())


def _both(readers, *one) -> tuple[str, str]:
    """A page as it is made, and as it is where nothing was kept."""
    made = _page(readers, *one)
    with from_nothing():
        return made, _page(readers, *one)


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(history=st.lists(asked(), min_size=1, max_size=4))
def test_a_page_says_the_same_as_one_made_from_nothing(readers, history):
    for one in [*history, *history[:1]]:
        made, anew = _both(readers, *one)
        assert made == anew


@pytest.mark.parametrize("name", NAMES)
def test_the_next_reader_has_it_in_his_own_language_and_figures(readers, name):
    path, query = _example(name)
    for other_language, comma in ((False, False), (True, False), (False, True), (True, True)):
        made, anew = _both(readers, f"{path}?{query.urlencode()}", other_language, comma)
        assert made == anew
        assert (">Work it out<" in made) is not other_language

"""The question pages: a form out of several calculations, their answers, and what they leave to the person."""

from __future__ import annotations

import pytest
from django.test import Client

from shop.calculate.address import as_address
from specs.engine.question import Question, questions

pytestmark = pytest.mark.django_db
EVERY = pytest.mark.parametrize("question", [pytest.param(q, id=name) for name, q in questions().items()])


@EVERY
def test_the_example_of_every_question_is_answered(fitter: Client, question: Question) -> None:
    page = fitter.get(f"/calculate/questions/{question.name}/?{as_address(question.example).urlencode()}")
    text = page.content.decode()
    assert page.status_code == 200
    assert "things to put right" not in text
    for part in question.parts:
        assert text.count(part.heading) >= 2
    for point in question.not_checked:
        assert point[1:] in text.replace("&#x27;", "'")


def test_the_page_begins_with_what_was_asked(fitter: Client) -> None:
    question = questions()["will-this-clutch-hold"]
    text = fitter.get(
        f"/calculate/questions/{question.name}/?{as_address(question.example).urlencode()}"
    ).content.decode()
    short = text[text.index("In short") : text.index("What this page does not check")]
    # 2 faces · 0.3 · 9000 N · 98.75 mm, over 350 N·m
    assert "533.2 N·m" in short
    assert "1.524" in short
    assert "Mean friction radius" not in short


def test_a_part_without_an_answer_says_why_and_takes_none_of_the_others_away(fitter: Client) -> None:
    weak = {**questions()["will-this-clutch-hold"].example, "clutch_clamp_force": 100}
    page = fitter.get(f"/calculate/questions/will-this-clutch-hold/?{as_address(weak).urlencode()}")
    text = " ".join(page.content.decode().split())
    assert "Service factor: fails." in text
    assert "One pull-away: cannot be worked out." in text
    assert "must be at least the torque that is to slip through" in text


def test_the_list_names_every_question(fitter: Client) -> None:
    text = fitter.get("/calculate/questions/").content.decode().replace("&#x27;", "'")
    assert all(question.title in text for question in questions().values())


def test_a_wrong_input_is_named_beside_its_field_and_kept(fitter: Client) -> None:
    page = fitter.get("/calculate/questions/will-the-shaft-whip/?shaft_outside_diameter=3.5+kg&shaft_wall=2")
    text = page.content.decode()
    assert "<title>Error:" in text
    assert "is a mass" in text
    assert 'value="3.5 kg"' in text
    assert 'href="#in-shaft_outside_diameter"' in text


def test_an_unknown_question_is_a_plain_404(fitter: Client) -> None:
    assert fitter.get("/calculate/questions/why-is-the-sky-blue/").status_code == 404


def test_a_stranger_is_sent_to_sign_in(client: Client) -> None:
    assert client.get("/calculate/questions/").status_code == 302

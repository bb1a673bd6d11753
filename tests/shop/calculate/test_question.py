"""The question pages: a form out of several calculations, their answers, and what they leave to the person."""

from __future__ import annotations

import re

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


def _short(client: Client, name: str, request: dict[str, object]) -> str:
    text = " ".join(
        client.get(f"/calculate/questions/{name}/?{as_address(request).urlencode()}").content.decode().split()
    )
    assert text.count("licensed inspectors decide") == 1
    return text[text.index('<div class="verdict">') : text.index("What this page does not check")]


def _headline(short: str) -> str:
    return re.findall(r'<p class="headline[^"]*">([^<]+)</p>', short)[0]


def _note(short: str) -> str:
    return re.findall(r'<p class="quiet">([^<]+)</p>', short)[0]


CLUTCH = "will-this-clutch-hold"
WHOLE = {"clutch_clamp_force_worn": 7800, "clutch_mu_hot": 0.25}


def test_the_page_answers_its_own_title_with_the_worst_first(fitter: Client) -> None:
    example = {name: value for name, value in questions()[CLUTCH].example.items() if name.startswith("clutch")}
    # 2 faces · 0.3 · 9000 N · 98.75 mm = 533.2 N·m
    yes = _short(fitter, CLUTCH, {**example, **WHOLE})
    assert _headline(yes) == "Yes."
    assert _note(yes) == "It carries 533.2 N·m; the engine gives 350 N·m."
    no = _short(fitter, CLUTCH, {**example, "clutch_engine_torque": 540})
    assert _headline(no) == "No: Service factor, 24 % short of the limit."  # 0.987 of 1.3
    assert no.index("Service factor") < no.index("1.2 % (6.75 N·m) short of the limit")
    assert _note(no) == "It carries 533.2 N·m; the engine gives 540 N·m."
    assert no.index("short of the limit") < no.index("not known")
    unknown = _short(fitter, CLUTCH, example)
    assert _headline(unknown).startswith("Not known: Worn disc, because the clamp force of the worn disc")
    assert "Because the friction coefficient of the hot lining is not given" in unknown


def test_no_yes_stands_alone_while_a_part_that_does_not_decide_fails_or_is_not_known(fitter: Client) -> None:
    asked = {**questions()[CLUTCH].example, **WHOLE}
    unknown = _short(fitter, CLUTCH, asked)
    assert _headline(unknown).startswith("Yes, but Heat on the lining (One pull-away), because")
    assert '<span class="mark waiting"' in unknown
    failing = _short(fitter, CLUTCH, {**asked, "start_maximum_temperature_rise": 20})
    # 32.8 K of 20: the face is hotter than it bears, whatever the clutch carries.
    assert _headline(failing).startswith("Yes, but Face temperature (One pull-away)")
    assert '<p class="headline fails">' in failing


def test_a_tolerance_is_carried_through_all_parts_and_may_make_it_too_close_to_call(fitter: Client) -> None:
    example = questions()[CLUTCH].example
    others = {"clutch_engine_torque": 400, "clutch_mu_hot": 0.3, "clutch_clamp_force_worn": 9000}
    given = {**example, **others, "clutch_clamp_force": "9000 ± 300"}
    close = _short(fitter, CLUTCH, given)
    # ± 300 of 9000 N is 3.3 % of 533.2 N·m; 1.3 of 400 N·m is 520, which lies within.
    assert _headline(close) == "Too close to call: Service factor (Clutch and engine)."
    assert _note(close).startswith("It carries 533 N·m ± 18 N·m;")
    assert '<rect class="within"' in close
    assert "± 0.04" in close


def test_the_short_verdict_of_a_question_whose_yes_is_bad_news_reads_right(fitter: Client) -> None:
    shaft = {"shaft_outside_diameter": 76.2, "shaft_wall": 2.1, "shaft_length": 1250}
    slow = _short(fitter, "will-the-shaft-whip", {**shaft, "shaft_shaft_speed": 5200})
    assert (_headline(slow), _note(slow)[:23]) == ("No.", "It whirls at 8017 rpm; ")
    fast = _short(fitter, "will-the-shaft-whip", {**shaft, "shaft_shaft_speed": 6500})
    assert _headline(fast).startswith("Yes: Shaft speed, ")


def test_a_question_for_a_figure_is_answered_with_the_figure(fitter: Client) -> None:
    wrench = {"wrench_target": 80, "wrench_wrench_length": 420, "wrench_extension": 55}
    short = _short(fitter, "what-do-i-set-the-wrench-to", wrench)
    # 80 N·m · 420/475 = 70.737; above 50 a wrench is set by whole N·m (common practice, no source).
    assert _headline(short) == "Set the wrench to 70 N·m."
    assert _note(short) == "70.74 N·m worked out, rounded down to what a wrench is set to."


def test_a_part_without_an_answer_says_why_and_takes_none_of_the_others_away(fitter: Client) -> None:
    weak = {**questions()["will-this-clutch-hold"].example, "clutch_clamp_force": 100}
    page = fitter.get(f"/calculate/questions/will-this-clutch-hold/?{as_address(weak).urlencode()}")
    text = " ".join(page.content.decode().split())
    assert _headline(text).startswith("No: ")
    assert 'Fails:</span></span> <div><span class="name">One pull-away</span>' in text
    assert "cannot be worked out" in text
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


def test_a_title_that_is_not_known_is_marked_by_what_fails_beside_it(fitter: Client) -> None:
    asked = {**questions()[CLUTCH].example, "start_maximum_temperature_rise": 20}
    page = _short(fitter, CLUTCH, asked)
    assert _headline(page).startswith("Not known: Worn disc")
    assert _note(page).startswith("Fails: Face temperature (One pull-away)")
    assert '<span class="mark fails"' in page


def test_a_question_that_is_only_begun_lists_what_is_missing_in_a_line_each(fitter: Client) -> None:
    page = fitter.get(f"/calculate/questions/{CLUTCH}/?clutch_outside_diameter=240").content.decode()
    assert page.count(" is missing.</a>") == 4
    assert page.count("Give a number in N or") == 1


def test_the_headline_and_the_scale_name_the_check_that_is_farthest_past_its_limit(fitter: Client) -> None:
    # The worn gap of −0.4 mm is further from the 0.5 mm wanted than a travel of 7.526 mm is from 8 mm.
    page = _short(fitter, "is-the-pedal-light-enough", dict(questions()["is-the-pedal-light-enough"].example))
    assert _headline(page).startswith("No: Gap, worn disc")
    assert 'aria-label="Gap, worn disc: −0.4 mm, at least 0.5 mm"' in page
    names = re.findall(r'<span class="name">([^<]+)</span>', page)
    assert names.index("Gap, worn disc") < names.index("Travel to free")


def test_what_two_parts_of_one_calculation_warn_of_is_said_once(fitter: Client) -> None:
    question = questions()["can-i-leave-one-bolt-out"]
    page = fitter.get(f"/calculate/questions/{question.name}/?{as_address(question.example).urlencode()}")
    text = " ".join(page.content.decode().split())
    cautions = re.findall(r"<li>([^<]+)</li>", text[text.index('id="cautions"') : text.index('id="parts"')])
    assert len(cautions) == len(set(cautions)) > 2
    assert text.count("Load factor <b") == 1
    assert "of the friction torque is gone" in text
    # 6 like bolts of which one is left out: a sixth or so, about the centre of those that stay.
    assert "Without B2, 17 % of the friction torque is gone" in text

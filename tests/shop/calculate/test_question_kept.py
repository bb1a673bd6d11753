"""A question's parts are kept as worksheets: nothing that was typed is lost, and each says what the question said."""

import html
import re
from typing import Any

import pytest
from django.test import Client

from shop.calculate.address import as_address
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.engine import units
from specs.engine.entry import read
from specs.engine.fields import fields_of
from specs.engine.question import answers_of, composed, questions
from tests.pages import collapsed, once

pytestmark = pytest.mark.django_db

_FIELD = re.compile(r'<(?:input|textarea)\b[^>]*?name="(in-[^"]+)"[^>]*?value="([^"]*)"')
_CHOICE = re.compile(r'<select name="(in-[^"]+)"[^>]*>(.*?)</select>', re.S)


def kept(client: Client, address: str, title: str) -> Worksheet:
    """Follow the link, press the button of the form as it is filled in, and give the worksheet."""
    page = client.get(address).content.decode()
    fields: dict[str, Any] = {}
    for name, value in _FIELD.findall(page):
        fields.setdefault(name, []).append(html.unescape(value))
    for name, options in _CHOICE.findall(page):
        chosen = re.search(r'<option(?: value="([^"]*)")? selected[^>]*>([^<]*)', options)
        fields.setdefault(name, []).append(
            "" if not chosen else html.unescape(chosen[2] if chosen[1] is None else chosen[1])
        )
    sent = client.post(address, {**fields, "title": title, **once()})
    assert sent.status_code == 302, re.findall(r'class="error"[^>]*>(.*?)</p>', collapsed(sent))
    return Worksheet.objects.latest("pk")


@pytest.mark.parametrize("name", sorted(questions()))
def test_every_part_of_every_question_is_kept_with_its_verdicts(fitter: Client, name: str) -> None:
    asked, whole = questions()[name], composed(name)
    page = fitter.get(f"/calculate/questions/{name}/?{as_address(asked.example).urlencode()}").content.decode()
    links = [html.unescape(at) for at in re.findall(r'href="(/worksheets/new/[^"]+)">Keep: ', page)]
    answers = answers_of(asked, read(whole, asked.example)).parts
    assert len(links) == len(answers)
    for link, part in zip(links, answers, strict=True):
        state = worksheet_state(kept(fitter, link, part.heading))
        assert state.result is not None, state.problems
        said = [(check.name, check.verdict) for check in part.answer.checks]
        assert [(check.name, check.verdict) for check in state.result.checks] == said
        typed = {held.path: held.typed for held in state.worksheet.inputs.all()}
        inputs = fields_of(part.answer.calculation.inputs)
        for path, value in asked.example.items():
            own = path.removeprefix(f"{part.key}_")
            if own in inputs and own != path and isinstance(value, str | int | float):
                assert typed[own].split(" ")[0] == str(value).split(" ")[0]  # its unit is written out where it had none


def test_what_was_typed_with_its_unit_and_its_tolerance_is_kept_so(fitter: Client) -> None:
    name = "will-this-clutch-hold"
    asked = questions()[name]
    part = asked.parts[0]
    lengths = (f"{part.key}_{one}" for one, of in fields_of(part.declared.inputs).items() if of.kind is units.LENGTH)
    path = next(path for path in lengths if path in asked.example)
    given = {**asked.example, path: "9.5 in ± 0.02"}
    page = fitter.get(f"/calculate/questions/{name}/?{as_address(given).urlencode()}").content.decode()
    link = html.unescape(re.findall(r'href="(/worksheets/new/[^"]+)">Keep: ', page)[0])
    typed = [held.typed for held in kept(fitter, link, "kept").inputs.all()]
    assert "9.5 in ± 0.02" in typed

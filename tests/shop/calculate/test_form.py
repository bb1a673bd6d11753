"""The form that follows from a calculation's declaration, and its address."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from django.http import QueryDict

from shop.calculate.address import as_address
from shop.calculate.forms import calculation_form
from specs.engine.calculation import Calculation, WorkingStep, choice, quantities, quantity, records, result, whole
from specs.engine.units import FORCE, LENGTH, RATIO


@dataclass(frozen=True, kw_only=True)
class Spot:
    x: float = quantity(LENGTH, "x", symbol="x")
    share: float | None = quantity(RATIO, "Share", optional=True)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    force: float = quantity(FORCE, "Clamp force", symbol="F", above=0, group="Clamp")
    mu: float = quantity(RATIO, "Friction", symbol="mu", default=0.3, group="Clamp")
    faces: int = whole("Faces", default=2)
    model: str = choice("Model", ("wear", "pressure"), default="wear")
    gaps: tuple[float, ...] = quantities(LENGTH, "Gaps", at_least=2, group="Stack")
    spots: tuple[Spot, ...] = records(Spot, "Spots", default=(), at_least=0, group="Stack")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    total: float = result(LENGTH, "Total", symbol="t")


def _working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    yield WorkingStep("t = x_1 + x_2", {"x_1": (given.gaps[0], LENGTH), "x_2": (given.gaps[1], LENGTH)})


DEMONSTRATION = Calculation(
    title="Gaps",
    question="How much together?",
    area="Fit",
    inputs=Inputs,
    outputs=Outputs,
    solve=lambda given: Outputs(total=sum(given.gaps)),
    working=_working,
    example={},
    cautions=(),
    sources=(),
    limits=(),
    name="gaps",
)


def form_of(address: str, system: str = "metric"):
    return calculation_form(DEMONSTRATION, QueryDict(address), system)


def field_of(form, name: str):
    return next(field for group in form.groups for field in group.fields if field.name == name)


def test_an_untouched_form_asks_nothing_and_complains_of_nothing():
    form = form_of("")
    assert not form.is_bound
    assert form.answer is None
    assert form.error_list == []


def test_fields_stand_under_their_headings_with_symbol_unit_and_default():
    form = form_of("")
    assert [group.heading for group in form.groups] == ["Clamp", "", "Stack"]
    friction = field_of(form, "mu")
    assert (friction.symbol, friction.default, friction.required) == ("mu", "0.3", False)
    assert field_of(form, "force").unit == "N"
    assert field_of(form, "force").required


def test_a_filled_address_is_solved():
    form = form_of("force=9000&gaps=10&gaps=2,5")
    assert form.error_list == []
    assert form.answer.found.total == pytest.approx(0.0125)
    assert form.answer.given.mu == 0.3


def test_bare_numbers_are_in_the_readers_units():
    form = form_of("force=1&gaps=1&gaps=0", "inch")
    assert form.answer.given.force == pytest.approx(4.4482216)
    assert form.answer.found.total == pytest.approx(0.0254)


def test_an_address_keeps_its_units_whoever_opens_it():
    assert form_of("units=metric&force=1&gaps=1&gaps=0", "inch").answer.found.total == pytest.approx(0.001)


def test_an_unknown_unit_system_in_the_address_is_passed_over():
    assert form_of("units=cubits&force=1&gaps=1&gaps=0").system == "metric"


def test_the_field_says_what_it_understood():
    form = form_of("force=2 kN&gaps=3 1/2 in&gaps=88,9")
    cells = field_of(form, "gaps").cells
    assert [cell.understood for cell in cells[:2]] == ["88.9 mm", "88.9 mm"]
    assert field_of(form, "force").cells[0].understood == "2000 N"
    assert field_of(form_of("force=2000&gaps=1&gaps=2"), "force").cells[0].understood == ""


def test_errors_stand_by_their_fields_and_what_was_typed_stays():
    form = form_of("force=3.5 kg&gaps=1,250&gaps=2")
    assert [name for name, *_ in form.error_list] == ["in-force", "in-gaps"]
    force = field_of(form, "force")
    assert "is a mass, but a force is needed" in force.error
    assert force.cells[0].value == "3.5 kg"
    assert "1.250" in field_of(form, "gaps").error
    assert field_of(form, "gaps").cells[0].value == "1,250"


def test_what_is_missing_is_said():
    assert "missing" in field_of(form_of("mu=0.3"), "force").error


def test_a_table_is_read_row_by_row_and_blank_rows_are_left_out():
    form = form_of("force=1&gaps=1&gaps=2&spots.x=5&spots.share=&spots.x=&spots.share=&spots.x=7&spots.share=0.5")
    assert [(spot.x, spot.share) for spot in form.answer.given.spots] == [(0.005, None), (0.007, 0.5)]


def test_an_error_in_a_table_names_its_row():
    form = form_of("force=1&gaps=1&gaps=2&spots.x=5&spots.share=&spots.x=wide&spots.share=")
    assert "Row 2" in field_of(form, "spots").error


def test_asking_for_more_rows_adds_blank_ones_and_keeps_what_was_typed():
    form = form_of("force=9&spots.x=5&spots.share=1&more=spots")
    rows = field_of(form, "spots").rows
    assert len(rows) == 4
    assert rows[0][0].value == "5"
    assert form.error_list == []


def test_every_list_offers_the_entries_it_needs_and_one_blank_for_an_empty_table():
    form = form_of("")
    assert len(field_of(form, "gaps").cells) == 2
    assert len(field_of(form, "spots").rows) == 1
    assert field_of(form, "spots").columns == ("x [mm]", "Share")


def test_a_choice_comes_with_its_default_chosen():
    cell = field_of(form_of(""), "model").cells[0]
    assert (cell.value, cell.options) == ("wear", ("wear", "pressure"))


def test_every_cell_has_an_id_of_its_own_and_the_first_is_where_errors_lead():
    form = form_of("force=1&gaps=1&gaps=2&gaps=3&spots.x=1&spots.x=2&spots.share=&spots.share=")
    fields = [field for group in form.groups for field in group.fields]
    ids = [cell.id for field in fields for cell in (*field.cells, *(cell for row in field.rows for cell in row))]
    assert len(ids) == len(set(ids))
    assert {field.id for field in fields} <= set(ids)


def test_a_stored_request_comes_back_through_its_address():
    stored = {"force": 9000.0, "gaps": [10.0, 2.5], "spots": [{"x": 5.0}, {"x": 7.0, "share": 0.5}]}
    form = calculation_form(DEMONSTRATION, stored, "inch")
    assert form.answer.given.force == 9000.0
    assert [(spot.x, spot.share) for spot in form.answer.given.spots] == [(0.005, None), (0.007, 0.5)]
    assert as_address(stored).getlist("spots.share") == ["", "0.5"]

"""Running a calculation from its page: nothing is kept, everything is shown."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from shop.calculate.address import as_address
from shop.calculate.templatetags.calculate import subscripts, symbol
from specs.engine.calculation import calculations, find
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def page_of(client, name, query=""):
    return client.get(f"{reverse('calculate:calculation', args=[name])}?{query}")


def test_the_list_asks_each_question_under_its_area(fitter):
    page = fitter.get(reverse("calculate:calculations")).content.decode()
    for calculation in calculations().values():
        assert calculation.title in page
        assert f"<h2>{calculation.area}</h2>" in page


@pytest.mark.parametrize("name", calculations())
def test_every_calculation_shows_its_form_and_its_example(fitter, name):
    empty = page_of(fitter, name)
    assert empty.status_code == 200
    assert "Work it out" in empty.content.decode()
    filled = page_of(fitter, name, as_address(find(name).example).urlencode()).content.decode()
    assert "Working" in filled
    assert "Sources" in filled
    assert collapsed(filled).count("licensed inspectors decide") == (not find(name).transforms)
    assert "style=" not in filled
    assert "Traceback" not in filled


@pytest.mark.parametrize("name", calculations())
def test_every_calculation_refuses_nonsense_beside_the_field(fitter, name):
    first = next(iter(calculations()[name].inputs.__dataclass_fields__))
    response = page_of(fitter, name, f"{first}=%22%3E%3Cscript%3E&{first}.x=nonsense")
    assert response.status_code == 200
    page = response.content.decode()
    assert "to put right" in page
    assert "<title>Error: " in page
    assert "<script>" not in page


def test_the_checks_are_summed_up_before_the_figures_with_the_worst_first(fitter):
    given = {**find("clutch-capacity").example, "engine_torque": 530}
    del given["mu_hot"]
    page = collapsed(page_of(fitter, "clutch-capacity", as_address(given).urlencode()))
    sums = re.findall(
        r'<p class="answer (\w+)"><b>([^<]+):</b> ([^<]+)</p>', page[: page.index('<table class="figures"')]
    )
    # By hand: 541.9 N·m of 530 hold, 1.2 of 530 (636) and 514.3 of the worn disc do not.
    assert [(mark, verdict) for mark, verdict, _ in sums] == [
        ("fails", "Fails"),
        ("unknown", "Not known"),
        ("holds", "Holds"),
    ]
    assert re.match(r"Service factor, [\d.]+ % short of the limit", sums[0][2])
    assert re.search(r"Worn disc, [\d.]+ % \([\d.]+ N·m\) short of the limit", sums[0][2])
    assert sums[1][2] == "Hot, because the friction coefficient of the hot lining is not given."
    assert sums[2][2].startswith("New and cold; ")


def test_the_cautions_that_the_numbers_call_for_come_first_and_bold(fitter):
    given = {**find("fastener-torque").example, "grade": "12.9"}
    page = collapsed(page_of(fitter, "fastener-torque", as_address(given).urlencode()))
    cautions = page[page.index('<ul class="cautions">') :]
    assert cautions.startswith('<ul class="cautions"><li><b>Class 12.9 may crack from hydrogen')
    assert "<b>A torque wrench scatters" not in cautions
    assert cautions.index("hydrogen") < cautions.index("A torque wrench scatters")


def test_a_result_can_be_linked_and_reads_in_the_readers_units(fitter, prefer):
    query = "target=100&wrench_length=400&extension=100"
    assert "<b>80 N·m</b>" in page_of(fitter, "wrench-adapter", query).content.decode()


def test_the_units_of_the_address_hold_for_whoever_opens_it(fitter):
    query = "units=inch&target=10&wrench_length=16&extension=4"
    page = page_of(fitter, "wrench-adapter", query).content.decode()
    assert "<b>10.85 N·m</b>" in page  # 8 lbf·ft
    assert 'name="units" value="inch"' in page


def test_what_was_typed_stays_beside_its_error(fitter):
    page = page_of(fitter, "wrench-adapter", "target=100+kg&wrench_length=400&extension=100").content.decode()
    assert "is a mass, but a torque is needed here" in page
    assert 'value="100 kg"' in page
    assert 'href="#in-target"' in page


def test_an_unknown_calculation_is_a_plain_404(fitter):
    assert page_of(fitter, "perpetual-motion").status_code == 404


STACK = {"contributors.name": ["a", "", "b"], "contributors.nominal": ["10", "", "12"]}
STACK |= {"contributors.tolerance": ["0.1", "", "0.2"], "contributors.sign": ["1", "", "-1"]}


def test_a_posted_table_lands_on_an_address_that_can_be_linked(fitter):
    response = fitter.post(reverse("calculate:calculation", args=["axial-stack"]), {**STACK, "units": "metric"})
    assert response.status_code == 302
    page = fitter.get(response.url).content.decode()
    assert "<b>−2 mm</b>" in page
    assert response.url.count("contributors.name") == 2  # the blank row is gone


def test_a_table_too_long_for_an_address_is_answered_in_place(fitter):
    rows = {key: [value[0]] * 150 for key, value in STACK.items()}
    rows["contributors.name"] = [f"part number {number}" for number in range(150)]
    response = fitter.post(reverse("calculate:calculation", args=["axial-stack"]), rows)
    assert response.status_code == 200
    assert "<b>1500 mm</b>" in response.content.decode()
    assert "cannot be linked" in response.content.decode()


def test_asking_for_rows_by_post_keeps_asking(fitter):
    response = fitter.post(reverse("calculate:calculation", args=["axial-stack"]), {**STACK, "more": "contributors"})
    page = fitter.get(response.url).content.decode()
    assert page.count('name="contributors.nominal"') == 5
    assert "to put right" not in page


def test_other_verbs_are_refused(fitter):
    assert fitter.delete(reverse("calculate:calculation", args=["wrench-adapter"])).status_code == 405


def test_subscripts_are_lowered_and_exponents_are_not():
    assert subscripts("μ_G · t_1² < F_max") == "μ<sub>G</sub> · t<sub>1</sub>² &lt; F<sub>max</sub>"
    assert symbol("mu_G") == "μ<sub>G</sub>"
    assert symbol("") == ""

"""Search: by fragments, without separators, across every kind of record."""

import re

import pytest
from django.test import Client

from shop.base import search_results
from shop.base.models import SearchEntry
from shop.base.trigrams import keys_holding
from tests.factories.jobs import make_job, make_lesson
from tests.factories.measuring import make_component, make_dimension, make_reading
from tests.factories.orders import make_order
from tests.factories.vehicles import make_customer, make_vehicle
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def page(client: Client, text: str) -> str:
    return collapsed(client.get("/search/", {"q": text}))


@pytest.mark.parametrize("typed", ["KX 471-B", "kx471b", "kx-471", "71b", "brightwell tarn", "tarn brigh"])
def test_a_vehicle_is_found_however_its_number_is_typed(fitter: Client, typed: str) -> None:
    make_vehicle(maker="Brightwell", model="Tarn", registration="KX 471-B")
    make_vehicle(maker="Marrowby", model="Fell", registration="ZZ 900")
    text = page(fitter, typed)
    assert "Brightwell Tarn (KX 471-B)" in text
    assert "Marrowby" not in text


def test_every_kind_of_record_is_found(fitter: Client) -> None:
    make_customer(name="Quillon Vast")
    make_job(title="Quillon gearbox")
    make_component(maker="Quillon", name="Q5")
    make_lesson(title="Quillon bolts are short")
    make_order(reference="quillon-77")
    text = page(fitter, "quillon")
    for kind in ("Customer", "Job", "Component", "Lesson", "Order"):
        assert f'<span class="note">{kind}' in text


def test_it_asks_one_question_a_kind_that_is_shown(fitter: Client, django_assert_max_num_queries) -> None:
    for at in range(31):
        make_component(maker="Teskel", name=f"T{at}")
    page(fitter, "x")
    # Session, person, roles, preferences; numbers, words, the entries; then the records of one kind.
    with django_assert_max_num_queries(5 + 3 + 1):
        text = page(fitter, "teskel")
    assert "There are more" in text


def test_a_name_is_found_before_the_words_of_more_records_than_are_read(fitter: Client, monkeypatch) -> None:
    monkeypatch.setattr(search_results, "_MOST_READ", 3)
    make_component(maker="Teskel", name="T0")
    for at in range(5):
        make_component(maker="Marrowby", name=f"M{at}", notes="as Teskel T0")
    names = re.findall(r">(Teskel T0|Marrowby M\d)", page(fitter, "teskel t0"))
    assert names[0] == "Teskel T0"
    assert len(set(names)) > 1


def test_whatever_a_name_is_found_by_its_text_is_found_by_as_well(fitter: Client) -> None:
    """Where all that hold a word in their text are read, nobody is asked for names."""
    for maker, name in (("Hölis-Brand", "M10×1,25"), ("Ab", "cd"), ("Quillon", "x" * 70), ("4711", "B/7 (0)20")):
        make_component(maker=maker, name=name)
    for entry in SearchEntry.objects.all():
        for start in range(0, len(entry.name) - 3, 3):
            asked = search_results._Asked(entry.name[start : start + 7])
            by_name = keys_holding("name", asked.groups, 300) if asked.groups else []
            assert set(by_name) <= set(search_results._keys_by_words(asked)), entry.name[start : start + 7]
            assert entry.pk in search_results._keys_by_words(search_results._Asked(entry.name[: start + 4]))


@pytest.mark.parametrize("typed", ["'; drop table", "%", "_", "\\", "<script>alert(1)</script>", "x" * 5000, "- / ."])
def test_odd_text_is_only_text(fitter: Client, typed: str) -> None:
    make_component()
    text = page(fitter, typed)
    assert "Nothing on record" in text
    assert "<script>" not in text


def test_nothing_typed_finds_nothing_and_asks(fitter: Client) -> None:
    make_component(maker="Teskel")
    assert "Teskel" not in page(fitter, "  ")


def test_a_result_says_its_state_and_what_matched(fitter: Client) -> None:
    depth = make_dimension(component=make_component(maker="Teskel", name="K9"), name="bellhousing depth")
    make_dimension(component=depth.component, name="bellhousing bore")
    make_reading(dimension=depth, mm=172.6, tolerance_mm=0.1)
    make_worksheet({"target": "100 N*m", "wrench_length": "0 mm"}, title="Bellhousing nuts", notes="Oiled thread")
    text = collapsed(page(fitter, "bellhousing"))
    assert '<div class="figure">172.6 mm' in text
    assert '<span class="hidden-words">not measured:</span>' in text
    assert '<div class="figure red"> <small>cannot be worked out</small>' in text
    assert "matches “Oiled thread”" in page(fitter, "oiled thread")

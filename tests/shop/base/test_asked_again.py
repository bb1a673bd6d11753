"""What was worked out is kept while the database answers all that was asked as it did, and not a moment longer."""

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from shop.base import unchanged
from shop.base.asked_again import NO_PART_OF_AN_ANSWER, SHARED
from shop.base.unchanged import while_unchanged
from shop.vehicles.models import Customer
from specs.models import Component, Dimension
from tests.factories.measuring import make_component, make_dimension
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch):
    monkeypatch.setattr(unchanged, "_KEPT", unchanged._Kept())


@pytest.fixture
def sizes():
    """Ask for all dimensions, and how often that was worked out."""
    worked = []

    @while_unchanged
    def read() -> list[Dimension]:
        worked.append(1)
        return list(Dimension.objects.order_by("pk"))

    read.worked = worked
    return read


def write_elsewhere() -> None:
    Customer.objects.create(name="Nobody")


def test_what_is_written_elsewhere_lets_it_stand(sizes):
    make_dimension(name="bore")
    before = [one.name for one in sizes()]
    write_elsewhere()
    assert [one.name for one in sizes()] == before
    assert len(sizes.worked) == 1


@pytest.mark.parametrize("change", ["rename", "add", "delete"])
def test_any_other_answer_has_it_worked_out_again(sizes, change):
    size = make_dimension(name="bore")
    sizes()
    if change == "rename":
        Dimension.objects.filter(pk=size.pk).update(name="depth")
    elif change == "add":
        make_dimension(name="depth", component=size.component)
    else:
        size.delete()
    assert [one.name for one in sizes()] == list(Dimension.objects.order_by("pk").values_list("name", flat=True))
    assert len(sizes.worked) == 2


def test_of_a_person_who_signs_in_nothing_is_another_answer():
    worked = []

    @while_unchanged
    def names() -> list[str]:
        worked.append(1)
        return [person.username for person in User.objects.order_by("pk")]

    person = make_person(username="fitter")
    assert names() == ["fitter"]
    User.objects.filter(pk=person.pk).update(last_login=timezone.now())
    assert names() == ["fitter"]
    assert len(worked) == 1
    User.objects.filter(pk=person.pk).update(username="machinist")
    assert names() == ["machinist"]


def test_nobody_reads_of_a_person_what_is_no_part_of_an_answer():
    read = re.compile(rf"\.{NO_PART_OF_AN_ANSWER}\b")
    files = [*Path("shop").rglob("*.py"), *Path("templates").rglob("*.html")]
    assert [str(file) for file in files if read.search(file.read_text())] == []


def test_what_a_page_led_on_to_is_read_again_after_any_write(sizes):
    size = make_dimension(component=make_component(name="before"))
    assert sizes()[0].component.name == "before"  # fetched after the work, and kept by the record
    Component.objects.filter(pk=size.component_id).update(name="after")
    assert sizes()[0].component.name == "after"
    assert len(sizes.worked) == 1


@dataclass(frozen=True, eq=False)
class Shelf:
    sizes: list[Dimension]


@pytest.mark.parametrize("as_argument", [True, False])
def test_a_work_that_rests_on_another_rests_on_what_that_read_and_on_what_it_led_on_to(as_argument):
    size = make_dimension(name="bore", component=make_component(name="before"))

    @while_unchanged
    def shelf() -> Shelf:
        return Shelf(list(Dimension.objects.order_by("pk")))

    @while_unchanged
    def told(given: Shelf | None = None) -> str:
        return ", ".join(f"{one.component.name} {one.name}" for one in (given or shelf()).sizes)

    def ask() -> str:
        return told(shelf()) if as_argument else told()

    assert shelf().sizes[0].component.name == "before"  # a page was here first
    assert ask() == "before bore"
    write_elsewhere()
    assert ask() == "before bore"
    Component.objects.filter(pk=size.component_id).update(name="after")
    assert ask() == "after bore"
    Dimension.objects.update(name="depth")
    assert ask() == "after depth"


def test_who_rests_on_what_comes_to_the_same_stands_although_other_rows_led_to_it(sizes):
    make_dimension(name="bore")
    worked = []

    @while_unchanged
    def names() -> Shelf:
        return Shelf([one.name for one in sizes()])

    @while_unchanged
    def told(given: Shelf) -> str:
        worked.append("given")
        return ", ".join(given.sizes)

    @while_unchanged
    def taken() -> str:
        worked.append("taken")
        return ", ".join(names().sizes)

    def ask() -> tuple[str, str]:
        return told(names()), taken()

    assert ask() == ("bore", "bore")
    Dimension.objects.update(notes="other words")
    assert ask() == ("bore", "bore")
    assert (worked, len(sizes.worked)) == (["given", "taken"], 2)
    Dimension.objects.update(name="depth")
    assert ask() == ("depth", "depth")
    Dimension.objects.update(name="bore")
    assert ask() == ("bore", "bore")
    assert worked == ["given", "taken"] * 3


def test_what_was_asked_up_to_an_error_that_somebody_caught_counts():
    @while_unchanged
    def first() -> str:
        return Component.objects.get().name

    @while_unchanged
    def told() -> str:
        try:
            return first()
        except Component.DoesNotExist:
            return "none"

    assert told() == "none"
    box = make_component(name="box")
    assert told() == "box"
    box.delete()
    assert told() == "none"


def test_what_does_more_than_ask_is_worked_out_after_every_write():
    worked = []

    @while_unchanged
    def writes() -> int:
        worked.append(1)
        return Component.objects.filter(name="nobody's").update(maker="Teskel")

    writes()
    write_elsewhere()
    writes()
    assert len(worked) == 2


def test_what_cannot_be_copied_is_worked_out_after_every_write():
    worked = []

    @while_unchanged
    def holds_a_function():
        worked.append(1)
        return lambda: Component.objects.count()

    holds_a_function()
    write_elsewhere()
    assert holds_a_function()() == 0
    assert len(worked) == 2


def test_a_write_while_it_is_worked_out_counts():
    make_component(name="before")

    @while_unchanged
    def name() -> str:
        found = Component.objects.get().name
        if found == "before":
            Component.objects.update(name="after")
        return found

    assert name() == "before"
    assert name() == "after"


def test_what_was_worked_out_of_something_gone_is_forgotten(sizes):
    @while_unchanged
    def shelf() -> Shelf:
        return Shelf(list(Dimension.objects.all()))

    @while_unchanged
    def count(given: Shelf) -> int:
        return len(given.sizes)

    for at in range(3):
        make_dimension(name=f"bore {at}")
        assert count(shelf()) == at + 1
    assert len(unchanged._KEPT._traces) == 2


def test_more_than_there_is_room_for_lets_go_of_what_was_asked_least_lately(monkeypatch):
    two_words = 2 * 125 * (1 + SHARED)
    monkeypatch.setattr(unchanged._Kept, "MOST_BYTES", two_words)
    worked = []

    @while_unchanged
    def words(letter: str) -> str:
        worked.append(letter)
        return letter * 100

    for letter in "abaca":
        words(letter)
        write_elsewhere()
    words("b")
    assert worked == ["a", "b", "c", "b"]

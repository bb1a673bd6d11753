"""What is put into SQL once is what would be put into it each time."""

import pytest
from django.db import connection
from django.db.models import Count, OuterRef, Q, Subquery

from specs.models import Component, Dimension
from specs.row_queries import OfEachRow, put_together_once
from tests.factories.measuring import make_component, make_dimension

pytestmark = pytest.mark.django_db


def with_count(kind):
    own = Dimension.objects.filter(component=OuterRef("pk")).order_by().values("component")
    return Component.objects.annotate(number=kind(own.annotate(n=Count("pk")).values("n")))


QUESTIONS = {
    "a page": lambda rows: rows.order_by("name")[:5],
    "narrowed by it": lambda rows: rows.filter(number__gt=1),
    "of other components, so that its tables are renamed": lambda rows: Component.objects.filter(
        Q(pk__in=rows.filter(number=2).values("pk")) | Q(name="none")
    ),
    "sorted by it": lambda rows: rows.order_by("-number", "pk"),
    "both at once": lambda rows: rows.filter(pk__in=rows.filter(number__gt=0).values("pk"), number__lt=9),
}


@pytest.mark.parametrize("asked", QUESTIONS.values(), ids=QUESTIONS)
def test_it_says_the_same_however_often_and_wherever_it_is_asked(asked) -> None:
    for count in range(3):
        component = make_component(name=f"bell {count}")
        for at in range(count):
            make_dimension(component=component, name=f"bore {at}")
    kept = with_count(OfEachRow)
    for _ in range(2):
        plain, once = asked(with_count(Subquery)), asked(kept)
        assert str(once.query) == str(plain.query)
        assert list(once) == list(plain)
    narrowed, plain = kept.filter(number=2), with_count(Subquery).filter(number=2)
    assert narrowed.count() == plain.count() == 1
    assert narrowed.query.get_compiler(connection=connection).as_sql() == (
        plain.query.get_compiler(connection=connection).as_sql()
    )


def test_a_question_that_is_put_together_once_is_asked_anew_by_each() -> None:
    every = put_together_once(lambda: Component.objects.order_by("pk"))
    assert list(every()) == []
    made = make_component()
    assert list(every()) == [made]
    assert list(every().filter(name="nobody's")) == []
    assert list(every()) == [made]

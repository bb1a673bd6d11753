"""A part of a page that is made once says the same as one that is made each time, for everybody."""

import pytest
from django.template import Context, Template, TemplateSyntaxError
from django.test import Client
from django.utils.translation import override

from shop.base import kept_markup
from shop.people.models import preferences_of
from specs.written import WrittenForm, written_as
from tests.factories.people import make_person
from tests.pseudo import CODE, in_pseudo, pseudo

ONE = '{% kept name=person.name count=count %}<p>{{ name }}: {% trans "Save" %} {{ count|figures }}</p>{% endkept %}'


def made(template: Template, **known: object) -> str:
    return template.render(Context(known))


def test_it_is_made_anew_for_another_value_language_or_decimal_mark() -> None:
    template = Template(ONE)
    for _ in range(2):
        assert made(template, person={"name": "Ama"}, count="1.5") == "<p>Ama: Save 1.5</p>"
        assert made(template, person={"name": "<b>"}, count="1.5") == "<p>&lt;b&gt;: Save 1.5</p>"
        with written_as(WrittenForm(",")):
            assert made(template, person={"name": "Ama"}, count="1.5") == "<p>Ama: Save 1,5</p>"
        with in_pseudo(), override(CODE):
            assert made(template, person={"name": "Ama"}, count="1.5") == f"<p>Ama: {pseudo('Save')} 1.5</p>"


def test_nothing_is_known_inside_that_is_not_named() -> None:
    template = Template("{% kept name=name %}[{{ name }}{{ other }}]{% endkept %}{{ other }}")
    assert made(template, name="a", other="secret") == "[a]secret"
    assert made(template, name="a", other="next") == "[a]next"


@pytest.mark.parametrize(
    "inside", ["{% kept name %}{% endkept %}", "{% kept %}{% csrf_token %}{% endkept %}", "{% kept %}{% block a %}"]
)
def test_what_differs_each_time_cannot_be_kept(inside: str) -> None:
    with pytest.raises(TemplateSyntaxError):
        Template(inside)


def test_what_is_kept_does_not_grow_for_ever(monkeypatch) -> None:
    monkeypatch.setattr(kept_markup, "MOST", 3)
    template = Template(ONE)
    said = [made(template, person={"name": at}, count="1") for at in range(10)]
    assert said == [f"<p>{at}: Save 1</p>" for at in range(10)]
    assert len(template.nodelist[0]._kept) <= 3


def test_long_parts_are_let_go_of_sooner(monkeypatch) -> None:
    monkeypatch.setattr(kept_markup, "MOST_LETTERS", 1_000)
    template = Template("{% kept words=words %}{{ words }}{% endkept %}")
    for at in range(30):
        assert made(template, words=f"{at:0300}") == f"{at:0300}"
        assert sum(map(len, template.nodelist[0]._kept.values())) <= 1_300


@pytest.mark.django_db
def test_each_reader_sees_the_frame_that_is_theirs() -> None:
    """Two roles, with and without the keys, in turn; the second round says what the first did."""
    browsers = {}
    for name, roles in (("owner", ["owner"]), ("fitter", ["fitter"])):
        person = make_person(username=name, roles=roles, first_name=name.title(), last_name="Holt")
        chosen = preferences_of(person)
        chosen.search_key, chosen.theme = name == "owner", "dark" if name == "owner" else "light"
        chosen.save()
        browsers[name] = Client()
        browsers[name].force_login(person)
    for _ in range(2):
        for address in ("/orders/", "/vehicles/customers/"):
            told = {name: one.get(address).content.decode() for name, one in browsers.items()}
            assert 'aria-keyshortcuts="/"' in told["owner"]
            assert 'aria-keyshortcuts="/"' not in told["fitter"]
            assert "/people/" in told["owner"].partition("</header>")[0]
            assert f'href="{address}"\naria-current="page"' in told["fitter"]
            assert 'data-theme="dark"' in told["owner"]
            assert ["Owner Holt" in one for one in told.values()] == [True, False]

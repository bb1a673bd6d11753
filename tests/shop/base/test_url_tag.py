"""An address in a page is the one that Django itself would give, under whatever prefix the site answers."""

import pytest
from django.template import Context, Engine, Template
from django.urls import NoReverseMatch, get_script_prefix, set_script_prefix

DJANGO = Engine(builtins=[])


def both(tag: str, **known: object) -> tuple[str, str]:
    """What our engine makes of a tag, and what Django's own does."""
    return Template(tag).render(Context(known)), DJANGO.from_string(tag).render(Context(known))


@pytest.mark.parametrize(
    "tag",
    [
        "{% url 'home:today' %}",
        "{% url 'jobs:job' 7 %}",
        "{% url 'jobs:job' pk %}",
        "{% url 'jobs:job' pk=pk %}",
        "{% url 'jobs:job' word %}",
        "{% url name pk %}",
        "{% url 'print:sheet-new' 'job-card' pk %}",
        "{% url 'worksheets:worksheet-new-of' 'bolt-group' %}",
        "{% url 'jobs:job' pk as there %}[{{ there }}]",
        "{% url 'jobs:no-such-page' pk as there %}[{{ there }}]",
    ],
)
def test_an_address_is_as_django_makes_it(tag: str) -> None:
    for prefix in ("/", "/shop/"):
        before = get_script_prefix()
        set_script_prefix(prefix)
        try:
            for key in (0, 7, 987_654_321_012):
                ours, own = both(tag, pk=key, word=str(key), name="orders:order")
                assert ours == own
        finally:
            set_script_prefix(before)


@pytest.mark.urls("tests.shop.base.pages_urls")
def test_it_is_that_of_the_urls_by_which_the_site_answers() -> None:
    assert both("{% url 'components' %}") == ("/test/", "/test/")


@pytest.mark.parametrize("tag", ["{% url 'jobs:job' pk %}", "{% url 'no:page' %}", "{% url '' %}", "{% url none %}"])
def test_an_address_that_there_is_not_is_an_error_as_with_django(tag: str) -> None:
    for made in (Template(tag), DJANGO.from_string(tag)):
        with pytest.raises(NoReverseMatch):
            made.render(Context({"pk": -1}))

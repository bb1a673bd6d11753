"""What a new shop's lists say while nothing is on record: no list leaves its reader without a way on."""

import pytest

from tests.pages import collapsed

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("address", "leads_to"),
    [
        ("/measuring/dimensions/", "/measuring/components/"),
        ("/measuring/patterns/", "/measuring/components/"),
        ("/measuring/features/", "/measuring/components/"),
        ("/measuring/readings/", "/measuring/dimensions/"),
        ("/torque/specs/", "/measuring/components/"),
        ("/jobs/steps/", "/jobs/"),
        ("/jobs/parts/", "/jobs/steps/"),
        ("/print/", "/jobs/"),
    ],
)
def test_an_empty_list_leads_to_where_its_rows_are_made(owner, address, leads_to):
    empty = collapsed(owner.get(address)).partition('<div class="empty">')[2]
    assert f'<a class="button" href="{leads_to}">See the ' in empty.partition("</div>")[0]


def test_a_first_lesson_leads_to_the_component_that_it_may_be_about(owner):
    page = collapsed(owner.get("/jobs/lessons/new/"))
    assert '<a href="/measuring/components/new/">Add the first component</a>' in page

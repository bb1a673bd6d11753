"""Pages of a lesson."""

import pytest

from tests.factories.jobs import make_lesson
from tests.pages import text_of

pytestmark = pytest.mark.django_db


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


@pytest.mark.parametrize("asked", ["0", "999999999", "abc", "99999999999999999999", ""])
def test_a_lesson_from_no_step_in_particular(fitter, asked):
    assert fitter.get(f"/jobs/lessons/new/?step={asked}").status_code in (200, 404)


def test_a_deleted_lesson_leaves_the_list(fitter):
    lesson = make_lesson()
    fitter.post(f"/jobs/lessons/{lesson.pk}/delete/", {"reason": "not true"} | MARK)
    assert f'href="{lesson.get_absolute_url()}"' not in text_of(fitter.get("/jobs/lessons/"))
    assert "not true" in text_of(fitter.get(f"/jobs/lessons/{lesson.pk}/"))

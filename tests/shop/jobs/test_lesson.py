"""Pages of a lesson."""

import pytest

from tests.factories.jobs import make_lesson
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


@pytest.mark.parametrize("asked", ["0", "999999999", "abc", "99999999999999999999", ""])
def test_a_lesson_from_no_step_in_particular(fitter, asked):
    assert fitter.get(f"/jobs/lessons/new/?step={asked}").status_code in (200, 404)


def test_a_deleted_lesson_leaves_the_list(fitter):
    lesson = make_lesson()
    fitter.post(f"/jobs/lessons/{lesson.pk}/delete/", {"reason": "not true"} | MARK)
    assert f'href="{lesson.get_absolute_url()}"' not in collapsed(fitter.get("/jobs/lessons/"))
    assert "not true" in collapsed(fitter.get(f"/jobs/lessons/{lesson.pk}/"))


def test_a_lesson_is_corrected_and_its_history_kept(fitter):
    lesson = make_lesson(text="Reach it from below.")
    address = f"/jobs/lessons/{lesson.pk}/edit/"
    sent = {"title": lesson.title, "text": "Reach it through the shifter hole."}
    assert press(fitter, address, **sent).status_code == 302
    assert "through the shifter hole" in collapsed(fitter.get(lesson.get_absolute_url()))
    assert [entry.text for entry in lesson.history.all()][-1] == "Reach it from below."


def test_a_lesson_without_words_is_refused_and_its_title_kept(fitter):
    lesson = make_lesson()
    page = collapsed(press(fitter, f"/jobs/lessons/{lesson.pk}/edit/", title="Top bolt, long key", text=" "))
    assert 'id="id_text_error"' in page
    assert 'value="Top bolt, long key"' in page


def test_the_second_to_edit_a_lesson_sees_both_versions(fitter, machinist):
    lesson = make_lesson()
    address = f"/jobs/lessons/{lesson.pk}/edit/"
    old = {"title": lesson.title, "text": lesson.text, "version": lesson.version}
    fitter.post(address, {**old, "text": "Long key, from above."})
    page = collapsed(machinist.post(address, {**old, "text": "Short key, from below."}))
    assert "Yours: <b>Short key, from below.</b>" in page
    assert "On record: <b>Long key, from above.</b>" in page

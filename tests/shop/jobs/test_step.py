"""The page of a step: what stands on it, and what is signed from it."""

import pytest

from shop.jobs.models import (
    Lesson,
    RegulatedItem,
    Step,
    TimeEntry,
)
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_job_torque,
    make_lesson,
    make_part_need,
    make_regulated_item,
    make_sign_off,
    make_step,
    make_step_need,
    make_time_entry,
)
from tests.factories.measuring import make_component, make_torque_spec
from tests.pages import collapsed, once, press, send
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def page(client, step):
    return collapsed(client.get(f"/jobs/steps/{step.pk}/"))


def test_text_is_formatted_and_html_in_it_is_shown_as_typed(fitter):
    step = make_step(text="- drain\n- **mark** the flange\n\n<b>bold</b> ![x](http://elsewhere/x.png)\n\n# Big")
    words = page(fitter, step)
    assert "<li>drain</li>" in words
    assert "<strong>mark</strong>" in words
    assert "&lt;b&gt;bold&lt;/b&gt;" in words
    assert "<img" not in words.split("<main")[1].split("</main")[0]
    assert words.count("<h1") == 1


def test_hostile_titles_are_shown_as_typed(fitter):
    step = make_step(title="<script>alert(1)</script>", cautions="</p><script>x</script>")
    assert "<script>" not in page(fitter, step).split("<main")[1]


def test_cautions_lessons_regulated_items_and_needs_are_there(fitter):
    step = make_step(cautions="Springs under load.")
    make_lesson(learned_at=step)
    make_regulated_item(job=step.job, step=step)
    make_part_need(step=step, text="clutch hose")
    make_decision(step=step)
    words = page(fitter, step)
    for expected in ("Springs under load.", "Top bolt from above", "licensed person", "clutch hose", "Which ratios?"):
        assert expected in words


def test_a_torque_without_a_figure_says_so(fitter):
    step = make_step()
    make_job_torque(step=step, torque_spec=make_torque_spec())
    assert "No approved torque" in page(fitter, step)


def test_the_page_costs_the_same_queries_however_much_stands_on_it(fitter):
    def fill(step, times):
        for _ in range(times):
            make_step_need(step, make_step(job=step.job))
            make_decision(step=step)
            make_part_need(step=step)
            make_job_torque(step=step)
            make_sign_off(step=step)
            make_time_entry(step=step)
            make_lesson(learned_at=step)
            make_regulated_item(job=step.job, step=step)
        return step

    few, many = (len(queries_of(fitter, f"/jobs/steps/{fill(make_step(), n).pk}/")) for n in (1, 12))
    assert few == many


def test_what_can_be_done_instead_is_offered_where_the_step_waits(fitter):
    job = make_job()
    strip, trial = make_step(job=job, title="Strip"), make_step(job=job, title="Trial fit")
    make_step_need(trial, strip)
    assert "Can be worked on now on this job" in page(fitter, trial)
    assert "Can be worked on now on this job" not in page(fitter, strip)


def test_what_must_be_signed_before_finishing_is_counted(fitter):
    step = make_step()
    make_job_torque(step=step)
    make_job_torque(step=step)
    assert page(fitter, step).count("a signature: ") == 2


def test_who_changed_the_step_is_told(fitter, people):
    step = make_step()
    form = {
        "title": "Stripped down",
        "text": "",
        "cautions": "",
        "hours_estimated": "2",
        "role": "fitter",
        "person": "",
        "hazard": "none",
    }
    fitter.post(f"/jobs/steps/{step.pk}/edit/", form | {"version": 1})
    assert f"changed by {people['fitter'].get_full_name()}" in page(fitter, step)


def test_what_is_regulated_is_flagged_with_the_caution_and_stays_open_until_passed(fitter, owner):
    step = make_step(title="Open the tunnel")
    address = f"/jobs/{step.job_id}/regulated/new/"
    assert "licensed" in collapsed(fitter.get(address))
    page = send(fitter, address, touches="structure", what="tunnel cut and boxed", step=step.pk)
    assert "tunnel cut and boxed" in page
    assert "in Open the tunnel" in page
    assert "Not approved yet" in collapsed(fitter.get(f"/jobs/steps/{step.pk}/"))
    item = RegulatedItem.objects.get()
    assert fitter.post(f"/jobs/regulated/{item.pk}/delete/", {"reason": "x"} | once()).status_code == 403
    send(owner, f"/jobs/regulated/{item.pk}/delete/", reason="the tunnel stays whole")
    assert "tunnel cut and boxed" not in collapsed(owner.get(f"/jobs/{step.job.pk}/")).split("Deleted: 1")[0]


def test_the_page_asks_why_and_goes_on(fitter):
    step = make_step(title="Trial fit")
    make_decision(step=step)
    page = fitter.post(f"/jobs/steps/{step.pk}/start/", follow=True).content.decode()
    assert "Go on, because" in page
    once = {"once": "a-mark-that-a-form-was-given-0001"}
    fitter.post(f"/jobs/steps/{step.pk}/go-on/?act=start", {"go_on_because": "only measuring"} | once)
    assert step.time_entries.running().exists()
    assert "only measuring" in fitter.get(f"/jobs/steps/{step.pk}/").content.decode()


def test_a_lesson_is_written_from_a_step_and_found_again(fitter):
    step, component = make_step(title="Strip"), make_component()
    form = {"title": "Loom clip", "text": "Undo it first.", "components": [component.pk]}
    page = collapsed(fitter.post(f"/jobs/lessons/new/?step={step.pk}", form | MARK, follow=True))
    lesson = Lesson.objects.get()
    assert (lesson.learned_at, list(lesson.components.all())) == (step, [component])
    assert "Undo it first." in page
    assert "Loom clip" in collapsed(fitter.get(f"/jobs/steps/{step.pk}/"))
    assert "Loom clip" in collapsed(fitter.get("/jobs/lessons/?words=clip"))


def tap(client, step, what):
    return collapsed(client.post(f"/jobs/steps/{step.pk}/{what}/", follow=True))


def test_a_fitter_starts_pauses_and_finishes_a_step(fitter):
    step = make_step(title="Strip")
    page = tap(fitter, step, "start")
    assert "Clock started at" in page
    assert "You started at" in page
    assert ">Pause</button>" in page
    page = tap(fitter, step, "pause")
    assert "Paused after" in page
    assert ">Start</button>" in page
    page = tap(fitter, step, "finish")
    assert "“Strip” is finished." in page
    assert ">Start</button>" not in page
    assert Step.objects.get().is_finished


def test_a_double_tap_writes_once(fitter):
    step = make_step()
    tap(fitter, step, "start")
    tap(fitter, step, "start")
    assert TimeEntry.objects.count() == 1
    tap(fitter, step, "pause")
    assert "Your clock is not running on this step." in tap(fitter, step, "pause")
    tap(fitter, step, "finish")
    finished_at = Step.objects.get().finished_at
    tap(fitter, step, "finish")
    assert Step.objects.get().finished_at == finished_at


def test_a_step_whose_needs_are_open_asks_why_somebody_goes_on(fitter):
    step = make_step(title="Trial fit")
    make_decision(step=step, question="Which ratios?")
    page = collapsed(fitter.get(f"/jobs/steps/{step.pk}/"))
    assert "Waiting for" in page
    assert "a decision, “Which ratios?”" in page
    assert "Whoever goes on says why." in page
    page = tap(fitter, step, "finish")
    assert "This is open in “Trial fit”: a decision, “Which ratios?”. Say why you go on." in page
    assert "Go on, because" in page
    assert not Step.objects.get().is_finished


def test_starting_another_step_says_what_was_paused(fitter):
    one, two = make_step(title="Strip"), make_step(title="Weld")
    tap(fitter, one, "start")
    assert "“Strip” is paused after" in tap(fitter, two, "start")


def test_a_step_is_moved_up_and_down_the_list(fitter):
    job = make_job()
    strip, weld = make_step(job=job, title="Strip"), make_step(job=job, title="Weld")
    fitter.post(f"/jobs/steps/{weld.pk}/move/", {"to": "up"})
    assert list(job.steps.order_by("position")) == [weld, strip]
    fitter.post(f"/jobs/steps/{weld.pk}/move/", {"to": "down"})
    assert list(job.steps.order_by("position")) == [strip, weld]


def test_the_first_step_moved_up_stays_where_it_is(fitter):
    strip = make_step(title="Strip")
    weld = make_step(job=strip.job, title="Weld")
    fitter.post(f"/jobs/steps/{strip.pk}/move/", {"to": "up"})
    assert list(strip.job.steps.order_by("position")) == [strip, weld]


def test_a_finished_step_is_reopened_with_a_reason_and_the_second_is_told(fitter, machinist):
    step = make_step(title="Strip")
    tap(fitter, step, "finish")
    address = f"/jobs/steps/{step.pk}/reopen/"
    assert 'id="id_reason_error"' in collapsed(press(fitter, address, reason=" "))
    press(fitter, address, reason="seal still weeps")
    assert not Step.objects.get().is_finished
    assert "seal still weeps" in page(fitter, step)
    answer = collapsed(press(machinist, address, reason="left-hand side too"))
    assert "is open already" in answer
    assert "left-hand side too" in answer


def test_a_step_to_check_again_is_confirmed_with_what_was_looked_at(fitter):
    step = make_step(title="Strip")
    tap(fitter, step, "finish")
    Step.objects.filter(pk=step.pk).update(check_again="“Weld” was reopened")
    address = f"/jobs/steps/{step.pk}/confirm/"
    assert "Check again: “Weld” was reopened." in collapsed(fitter.get(address))
    assert 'id="id_reason_error"' in collapsed(press(fitter, address, reason=" "))
    assert press(fitter, address, reason="seam looked at, sound").status_code == 302
    assert Step.objects.get().check_again == ""
    assert "seam looked at, sound" in page(fitter, step)


def test_nothing_open_asks_for_no_reason_to_go_on(fitter):
    step = make_step()
    landed = fitter.get(f"/jobs/steps/{step.pk}/go-on/", follow=True)
    assert "Nothing keeps" in collapsed(landed)
    assert landed.redirect_chain == [(step.get_absolute_url(), 302)]


def test_a_part_is_a_row_with_where_it_is_and_the_way_to_mark_it(fitter, buyer):
    need = make_part_need(text="ring gear")
    said = page(fitter, need.step)
    assert 'class="note">Not ordered yet</span>' in said
    assert f'href="/jobs/parts/{need.pk}/here/">Mark as received' in said
    assert said.index("Mark as received") < said.index("Orders, shelf, changes")


def test_more_than_five_things_that_it_comes_after_are_folded_with_their_count(fitter):
    step = make_step(title="Final assembly")
    for _ in range(7):
        make_step_need(step, make_step(job=step.job))
    said = page(fitter, step)
    assert "7 open" in said
    assert "<summary>2 more open</summary>" in said


def test_a_buyers_step_leads_to_what_is_to_be_ordered_for_its_job(buyer, fitter):
    step = make_step(role="buyer")
    assert f'href="/planning/to-order/?job={step.job_id}">Order parts</a>' in page(buyer, step)
    assert "Order parts" not in page(fitter, step)

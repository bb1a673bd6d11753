"""Three invented jobs at different stages, written through the same verbs that the pages use."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from django.utils import timezone

from shop.demo.job_stories import (
    JOBS,
    LESSONS,
    AddedStep,
    JobStory,
    StepStory,
)
from shop.demo.vehicles import piece
from shop.jobs.changes.approvals import approve
from shop.jobs.changes.hours import correct_hours, log_hours
from shop.jobs.changes.jobs import decide, save_job, set_aside
from shop.jobs.changes.lessons import write_lesson
from shop.jobs.changes.proof import Statement, confirm_sign_off, sign_checked, sign_tightened
from shop.jobs.changes.steps import (
    add_step_need,
    add_worksheet_need,
    mark_here,
    move_step,
    save_part_need,
    save_step,
)
from shop.jobs.changes.templates import apply_template, bring_in_shipped
from shop.jobs.changes.torques import apply_torque
from shop.jobs.changes.work import finish, pause, start
from shop.jobs.models import Job, JobTemplate, Lesson, PartNeed, SignOff, Step
from shop.worksheets.models import Worksheet
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from specs.models import Component, TorqueSpec

if TYPE_CHECKING:
    from shop.demo.world import World


def make(world: World) -> None:
    """Bring in the job templates, open the jobs, and work on them up to today."""
    bring_in_shipped(person=world.people["hedda"])
    world.made["jobs"] = {story.vehicle: _job(story, world) for story in JOBS}
    for lesson in LESSONS:
        _lesson(world, *lesson)
    _forgotten_taps(world)
    _done(world)


def _job(story: JobStory, world: World) -> Job:
    hedda = world.people["hedda"]
    job = Job(
        vehicle=world.made[story.vehicle],
        title=story.title,
        asked_for=story.asked_for,
        opened_on=world.day(-story.opened),
        wanted_by=world.day(story.wanted),
    )
    save_job(job, person=hedda, today=world.today)
    steps = apply_template(job=job, template=JobTemplate.objects.get(shipped_as=story.template), person=hedda)
    by_title = {step.title: step for step in steps}
    for added in story.added:
        _add(job, added, by_title, world)
    for component, mark, meant_for, lies_in in story.set_aside:
        set_aside(job=job, specimen=piece(component, mark), meant_for=meant_for, lies_in=lies_in, person=hedda)
    for words, component in story.chosen:
        _choose(job, words, component, world)
    for sheet in Worksheet.objects.active().filter(component__name__in=story.components):
        add_worksheet_need(step=by_title[story.rests_on], worksheet=sheet, person=hedda)
    for component, place, title in story.torques:
        spec = TorqueSpec.objects.get(component__name=component, place=place)
        apply_torque(job=job, torque_spec=spec, step=by_title[title], person=hedda)
    for question, answer in story.decided:
        decision = job.decisions.get(question=question)
        decide(decision, outcome="yes", answer=answer, person=hedda, now=_at(world, -story.opened + 6, 10))
    for step_story in story.steps:
        _work(by_title[step_story.title], step_story, world)
    for touches, person, licence, evidence, days_ago in story.approved:
        for item in job.regulated_items.active().filter(touches=touches):
            approve(
                item,
                licensed_person=person,
                licence=licence,
                valid_until=world.day(400),
                evidence=evidence,
                passed_on=world.day(-days_ago),
                person=hedda,
                today=world.today,
            )
    return job


def _done(world: World) -> None:
    """A small job that is done, so that its customer can be told."""
    hedda, jonas = world.people["hedda"], world.people["jonas"]
    job = Job(
        vehicle=world.made["pip"],
        title="Clutch pedal set",
        asked_for="The clutch takes right at the floor.",
        opened_on=world.day(-3),
        wanted_by=world.day(0),
    )
    save_job(job, person=hedda, today=world.today)
    for hour, title in ((9, "Set the free play of the clutch pedal"), (10, "Try that the clutch releases fully")):
        step = save_step(Step(job=job, title=title, person=jonas), person=hedda)
        finish(step, person=jonas, now=_at(world, -1, hour))


def _add(job: Job, added: AddedStep, by_title: dict[str, Step], world: World) -> None:
    hedda = world.people["hedda"]
    step = Step(job=job, title=added.title, text=added.text, hours_estimated=Decimal(added.hours))
    step.person = world.people[added.who]
    save_step(step, person=hedda)
    for title in added.after:
        add_step_need(step=step, needs_step=by_title[title], person=hedda)
    waiting = by_title[added.before]
    add_step_need(step=waiting, needs_step=step, person=hedda)
    for _ in job.steps.filter(position__gte=waiting.position, position__lt=step.position):
        move_step(step, up=True, person=hedda)
    for moved in by_title.values():
        moved.refresh_from_db()


def _choose(job: Job, words: str, component: str, world: World) -> None:
    need = PartNeed.objects.get(step__job=job, text=words)
    need.component, need.text = Component.objects.get(name=component), ""
    save_part_need(need, person=world.people["wren"])


def _at(world: World, day: int, hour: float) -> datetime:
    return timezone.make_aware(datetime.combine(world.day(day), time()) + timedelta(hours=hour))


def _work(step: Step, story: StepStory, world: World) -> None:
    person = world.people[story.who]
    step.person = person
    save_step(step, person=world.people["hedda"])
    for need in step.part_needs.active() if story.parts_from else ():
        mark_here(
            need,
            on=world.day(story.time_entries[0][0]),
            note=story.parts_from,
            person=world.people["wren"],
            today=world.today,
        )
    for day, hour, worked in story.time_entries:
        start(step, person=person, now=_at(world, day, hour), go_on_because=story.because)
        pause(step, person=person, now=_at(world, day, hour + worked))
    last_day, last_hour, worked = story.time_entries[-1]
    ended = _at(world, last_day, last_hour + worked)
    for sign_off in story.signed:
        _sign(step, sign_off, world, ended)
    if story.finished:
        finish(step, person=person, now=ended, go_on_because=story.because)


def _sign(step: Step, said: tuple[str, ...], world: World, at: datetime) -> SignOff:
    what, specified, found, tool, who, seen_by = said
    person = world.people[who]
    torque = step.job_torques.filter(torque_spec__place=what).first()
    if torque:
        new = torque.torque_spec.single_use
        statement = Statement(tool=tool, done_at=at, value=read(found, TORQUE), new_fasteners=new)
        kept = sign_tightened(step=step, torque=torque, statement=statement, person=person, now=timezone.now())
    else:
        statement = Statement(tool=tool, done_at=at, result=found, passed=True)
        check = step.required_checks.active().filter(what=what).first()
        kept = sign_checked(
            step=step,
            what=what,
            specified=specified,
            statement=statement,
            required_check=check,
            person=person,
            now=timezone.now(),
        )
    return confirm_sign_off(kept, person=world.people[seen_by], now=at + timedelta(minutes=20)) if seen_by else kept


def _forgotten_taps(world: World) -> None:
    """One entry by hand and one corrected, as any week has."""
    jonas, strip = world.people["jonas"], world.made["jobs"]["tarn"].steps.get(title="Strip the vehicle")
    reason, now = "phone was flat", timezone.now()
    log_hours(step=strip, worker=jonas, day=world.day(-58), hours=Decimal("1.5"), person=jonas, reason=reason, now=now)
    time_entry = strip.time_entries.counted().first()
    if time_entry:
        correct_hours(time_entry, hours=Decimal("5.5"), person=jonas, reason="half an hour on the telephone")


def _lesson(world: World, title: str, text: str, components: tuple[str, ...], vehicle: str, step: str) -> None:
    learned_at = world.made["jobs"][vehicle].steps.get(title=step)
    lesson = Lesson(title=title, text=text, learned_at=learned_at)
    found = Component.objects.filter(name__in=components)
    write_lesson(lesson, components=found, person=world.people["jonas"], today=world.day(-5))

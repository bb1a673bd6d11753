"""What is known of steps beside how they stand: kept apart, for that one of them is finished leaves it as it was."""

from __future__ import annotations

from shop.base.unchanged import while_unchanged
from shop.jobs.models import PartNeed, StepNeed, StepOverride, TimeEntry

Keys = tuple[int, ...]


@while_unchanged
def needs_of(steps: Keys) -> list[StepNeed]:
    """What steps need of other steps, decisions and worksheets."""
    # Who decided is asked only where somebody did: what rests on no person stands when one is renamed.
    needed_by = StepNeed.objects.active().filter(step__in=steps).select_related("decision", "worksheet")
    return list(needed_by.prefetch_related("decision__decided_by"))


@while_unchanged
def part_needs_of(steps: Keys) -> list[PartNeed]:
    """The parts that steps need."""
    return list(PartNeed.objects.active().filter(step__in=steps).select_related("component"))


@while_unchanged
def overrides_of(steps: Keys) -> list[StepOverride]:
    """What people finished over while something was open."""
    found = StepOverride.objects.filter(step__in=steps, act="finish", is_current=True)
    keys = list(found.order_by().values_list("pk", flat=True))
    return list(StepOverride.objects.filter(pk__in=keys).with_owner()) if keys else []


@while_unchanged
def begun_of(unfinished: Keys) -> frozenset[int]:
    """The steps that somebody worked on or works on now."""
    counted = TimeEntry.objects.filter(step__in=unfinished, correction=None)
    return frozenset(counted.values_list("step", flat=True))

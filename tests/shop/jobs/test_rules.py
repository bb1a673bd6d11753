"""Which steps are ready, which wait and on what; needs that bite their own tail are refused by name."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.jobs.rules import (
    CircularNeedsError,
    NeedState,
    NodeNeed,
    StepNode,
    StepState,
    find_circle,
    in_order,
    statuses,
)
from shop.jobs.without import without

CLUTCH = NodeNeed("part", "clutch", "the clutch, promised 14 May, third date")


def gearbox_job(**done):
    """Strip, make the plate, then trial fit; the clutch is needed to mount; wiring needs none of it."""
    return [
        StepNode("mount", "Mount the gearbox", after=("fit",), needs=(CLUTCH,)),
        StepNode("strip", "Strip the car", done=done.get("strip", False)),
        StepNode("plate", "Make the plate", needs=(NodeNeed("worksheet", "stack", "the accepted stack worksheet"),)),
        StepNode("fit", "Trial fit", after=("strip", "plate")),
        StepNode("wiring", "Reversing lamps", after=("strip",), done=done.get("wiring", False)),
        StepNode("test", "Start interlock check", after=("wiring",)),
    ]


def test_a_step_without_open_needs_is_ready():
    assert statuses(gearbox_job())["strip"].state is StepState.READY


def test_a_waiting_step_says_what_it_waits_for():
    state = statuses(gearbox_job())
    assert state["mount"].words == "waits for the clutch, promised 14 May, third date; for “Trial fit”"
    assert state["plate"].words == "waits for the accepted stack worksheet"


def test_a_met_need_holds_nothing():
    here = NodeNeed("part", "clutch", "the clutch", NeedState.MET)
    assert statuses([StepNode("mount", "Mount", needs=(here,))])["mount"].words == "ready"


def test_a_finished_step_is_checked_again_when_a_need_opens_again():
    assert statuses([StepNode("a", "Bleed", needs=(CLUTCH,), done=True)])["a"].state is StepState.CHECK


def test_a_need_that_will_never_come_stops_all_that_follows():
    never = NodeNeed("part", "fork", "the release fork", NeedState.NEVER)
    state = statuses([StepNode("a", "Fit the fork", needs=(never,)), StepNode("b", "Bleed", after=("a",))])
    assert state["a"].words == "cannot be done: the release fork will not come"
    assert state["b"].words == "cannot be done: “Fit the fork” cannot be done"


def test_a_need_for_a_step_that_is_gone_is_said():
    assert statuses([StepNode("a", "Bleed", after=("lost",))])["a"].state is StepState.CANNOT


def test_circular_needs_are_refused_with_the_circle_named():
    steps = [StepNode(1, "Trial fit", after=(3,)), StepNode(2, "Mount", after=(1,)), StepNode(3, "Shaft", after=(2,))]
    with pytest.raises(CircularNeedsError) as refusal:
        in_order(steps)
    circle = refusal.value.circle
    assert circle[0] == circle[-1]
    assert set(circle) == {"Trial fit", "Mount", "Shaft"}
    needs = {"Trial fit": "Shaft", "Mount": "Trial fit", "Shaft": "Mount"}
    assert all(needs[a] == b for a, b in zip(circle, circle[1:], strict=False)), "read as “a needs b”"
    assert "“Mount” needs “Trial fit”" in str(refusal.value)


def test_a_step_that_needs_itself_is_a_circle():
    assert find_circle({1: [1]}, {1: "Trial fit"}) == ("Trial fit", "Trial fit")


def test_no_circle_is_empty():
    assert find_circle({1: [], 2: [1]}, {1: "Strip", 2: "Fit"}) == ()


def test_what_can_be_done_without_the_late_part():
    left = without(gearbox_job(), "clutch")
    assert [s.title for s in left.now] == ["Strip the car"]
    assert [s.title for s in left.then] == ["Reversing lamps", "Start interlock check"]
    assert [s.title for s in left.held] == ["Mount the gearbox"]
    assert [s.title for s in left.elsewhere] == ["Make the plate", "Trial fit"]


def test_finished_work_is_not_offered_again():
    left = without(gearbox_job(strip=True, wiring=True), "clutch")
    assert [s.title for s in left.now] == ["Start interlock check"]


def test_a_finished_step_falls_to_check_again_when_what_it_rests_on_is_open_and_what_follows_waits():
    state = statuses(_fit_done_without_strip())
    assert state["fit"].words == "check again: “Strip the car” is not done"
    assert state["mount"].words == "waits for “Trial fit”, to be checked again"


def test_a_finished_step_keeps_its_own_cause():
    steps = [StepNode("fit", "Trial fit", done=True, check_again="“Strip” was reopened: bolt found")]
    assert statuses(steps)["fit"].words == "check again: “Strip” was reopened: bolt found"


def test_a_step_finished_with_a_reason_is_done_whatever_was_open():
    need = NodeNeed("part", "clutch", "the clutch")
    assert (
        statuses([StepNode("fit", "Trial fit", needs=(need,), done=True, excused=frozenset({"the clutch"}))])[
            "fit"
        ].words
        == "done"
    )


def test_a_need_that_was_not_worked_out_throws_no_doubt_on_a_finished_step():
    need = NodeNeed("worksheet", "stack", "the stack", known=False)
    assert statuses([StepNode("fit", "Trial fit", needs=(need,), done=True)])["fit"].words == "done"


def _fit_done_without_strip():
    return [
        StepNode("strip", "Strip the car"),
        StepNode("fit", "Trial fit", after=("strip",), done=True),
        StepNode("mount", "Mount the gearbox", after=("fit",)),
    ]


@st.composite
def networks(draw):
    """A network without circles: step n may need only steps before it; listed in any order."""
    size = draw(st.integers(1, 12))
    steps = []
    for n in range(size):
        after = draw(st.sets(st.integers(0, n - 1), max_size=3)) if n else set()
        part = draw(st.sampled_from([None, "clutch", "shaft"]))
        needs = (NodeNeed("part", part, f"the {part}"),) if part else ()
        steps.append(StepNode(n, f"step {n}", tuple(after), needs))
    return draw(st.permutations(steps))


def with_parts(steps, *here):
    return [replace(s, needs=tuple(arrived(need, here) for need in s.needs)) for s in steps]


def arrived(need, here):
    return replace(need, state=NeedState.MET) if need.key in here else need


def finish(steps, key):
    return [replace(s, done=s.done or s.key == key) for s in steps]


def ready(steps):
    return {key for key, status in statuses(steps).items() if status.state is StepState.READY}


@given(networks())
def test_with_all_parts_here_no_network_deadlocks(steps):
    steps = with_parts(steps, "clutch", "shaft")
    for _ in range(len(steps)):
        steps = finish(steps, min(ready(steps)))
    assert not ready(steps)
    assert all(s.done for s in steps)


@given(networks(), st.data())
def test_work_takes_only_the_finished_step_out_of_the_ready_set(steps, data):
    steps = with_parts(steps, "clutch")
    before = ready(steps)
    while before:
        done = data.draw(st.sampled_from(sorted(before)))
        steps = finish(steps, done)
        after = ready(steps)
        assert before - after == {done}
        before = after


@given(networks())
def test_a_part_that_arrives_takes_nothing_out_of_the_ready_set(steps):
    assert ready(steps) <= ready(with_parts(steps, "clutch"))


@given(networks())
def test_what_is_promised_without_the_part_can_really_be_done_without_it(steps):
    left = without(steps, "clutch")
    assert {s.key for s in left.now} == ready(steps)
    for step in (*left.now, *left.then):
        assert step.key in ready(steps)
        steps = finish(steps, step.key)
    assert not ready(steps), "nothing that could be done was left out"


@given(networks())
def test_every_unfinished_step_stands_in_one_pile(steps):
    left = without(steps, "shaft")
    piled = [s.key for pile in (left.now, left.then, left.held, left.elsewhere) for s in pile]
    assert sorted(piled) == sorted(s.key for s in steps)

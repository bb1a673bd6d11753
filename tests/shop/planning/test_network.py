"""The network of steps: exact on hand cases, beside an independent critical path and a plain version of itself."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.planning.network import NOTHING, NoHandsError, Shop, WorkItem, run, serving_order
from tests.shop.planning.plain import finish_by_hand

H = 60
ONE_FITTER = Shop({"fitter": 1}, day=8 * H)
MANY = Shop({"fitter": 1000}, day=8 * H)


def work(key, hours, after=(), parts=(), vehicle="van", trade="fitter"):
    return WorkItem(key, vehicle, int(hours * H), tuple(after), tuple(parts), trade)


def hours(steps, shop=ONE_FITTER, **parts):
    usable = {key: np.array([int(value * H)]) for key, value in parts.items()}
    result = run(steps, shop, usable, draws=1)
    return dict(zip((step.key for step in steps), (result.finish[:, 0] / H).tolist(), strict=True))


def test_one_step_takes_its_hours():
    assert hours([work("strip", 3)]) == {"strip": 3}


def test_a_chain_goes_on_within_the_day_and_over_night():
    assert hours([work("a", 5), work("b", 5, ["a"]), work("c", 8, ["b"])]) == {"a": 5, "b": 10, "c": 18}


def test_two_steps_side_by_side_with_two_fitters_but_not_with_one():
    steps = [work("a", 8), work("b", 8), work("c", 1, ["a", "b"])]
    assert hours(steps, Shop({"fitter": 2}, 8 * H))["c"] == 9
    assert hours(steps, ONE_FITTER)["c"] == 17


def test_a_step_waits_for_its_part():
    assert hours([work("a", 2), work("mount", 3, ["a"], ["clutch"])], clutch=24) == {"a": 2, "mount": 27}


def test_a_second_vehicle_fills_the_gap_while_the_first_waits():
    steps = [work("mount", 4, parts=["clutch"], vehicle="van"), work("strip", 20, vehicle="car")]
    assert hours(steps, clutch=8) == {"mount": 12, "strip": 24}
    # Day 1: car 8 h. Day 2: van 4 h, car 4 h. Day 3: car 8 h; finished at the end of the third day.


def test_the_first_vehicle_is_served_first():
    assert hours([work("a", 8, vehicle="van"), work("b", 8, vehicle="car")]) == {"a": 8, "b": 16}
    assert hours([work("b", 8, vehicle="car"), work("a", 8, vehicle="van")]) == {"b": 8, "a": 16}


def test_within_a_vehicle_what_most_hangs_on_goes_first():
    steps = [work("lamps", 8), work("strip", 8), work("fit", 20, ["strip"])]
    assert hours(steps) == {"strip": 8, "fit": 28, "lamps": 36}


def test_a_machinist_and_a_fitter_do_not_take_each_others_work():
    steps = [work("plate", 8, trade="machinist"), work("strip", 8)]
    assert hours(steps, Shop({"fitter": 1, "machinist": 1}, 8 * H)) == {"plate": 8, "strip": 8}


def test_what_a_step_last_waited_for_is_kept():
    steps = [work("a", 2), work("b", 1, ["a"], ["clutch"])]
    late = run(steps, ONE_FITTER, {"clutch": np.array([0, 480])}, draws=2)
    assert late.decided_by.tolist() == [[NOTHING, NOTHING], [0, 2]]


def test_time_lost_to_busy_hands_is_kept():
    result = run([work("a", 8), work("b", 8, vehicle="car")], ONE_FITTER, {}, draws=1)
    assert result.short_of_hands[:, 0].tolist() == [0, 480]


def test_hours_may_differ_from_draw_to_draw():
    result = run([work("a", 8)], ONE_FITTER, {}, draws=3, minutes=np.array([[60, 0, 600]]))
    assert result.finish[0].tolist() == [60, 0, 600]


def test_needs_that_are_finished_and_parts_that_are_here_hold_nothing():
    assert hours([work("b", 1, after=["done long ago"], parts=["here"])]) == {"b": 1}


def test_circular_needs_have_no_finish():
    with pytest.raises(ValueError, match="for ever"):
        serving_order([work("a", 1, ["b"]), work("b", 1, ["a"])])


def test_a_trade_that_nobody_has_is_said():
    with pytest.raises(NoHandsError, match="nobody in the shop works as welder"):
        run([work("a", 1, trade="welder")], ONE_FITTER, {}, draws=1)


@st.composite
def networks(draw, vehicles=2):
    size = draw(st.integers(1, 14))
    steps = []
    for n in range(size):
        vehicle = draw(st.integers(1, vehicles))
        same = [step.key for step in steps if step.vehicle == vehicle]
        after = draw(st.lists(st.sampled_from(same), max_size=3, unique=True)) if same else []
        parts = draw(st.lists(st.sampled_from(["clutch", "shaft"]), max_size=1))
        trade = draw(st.sampled_from(["fitter", "machinist"]))
        steps.append(WorkItem(n, vehicle, draw(st.integers(0, 30)) * 15, tuple(after), tuple(parts), trade))
    return steps


def longest_path(steps, usable):
    """The finish with hands without number, by networkx: the longest path, each edge as long as its first end takes."""
    graph = nx.DiGraph()
    for step in steps:
        graph.add_edge("start", step.key, weight=0)
        graph.add_edge(step.key, "end", weight=step.minutes)
        for key in step.after:
            graph.add_edge(key, step.key, weight=next(s.minutes for s in steps if s.key == key))
        for part in step.parts:
            graph.add_edge("start", part, weight=0)
            graph.add_edge(part, step.key, weight=usable[part])
    return nx.dag_longest_path_length(graph)


@given(networks(), st.lists(st.integers(0, 5000), min_size=2, max_size=2))
def test_with_hands_enough_the_finish_is_the_critical_path(steps, arrivals):
    usable = dict(zip(("clutch", "shaft"), arrivals, strict=True))
    many = Shop({"fitter": 1000, "machinist": 1000}, day=480)
    result = run(steps, many, {part: np.array([at]) for part, at in usable.items()}, draws=1)
    assert result.finish.max() == longest_path(steps, usable)
    assert (result.short_of_hands == 0).all()


@given(networks(vehicles=3), st.lists(st.integers(0, 5000), min_size=8, max_size=8), st.integers(1, 3))
def test_all_draws_at_once_agree_with_one_at_a_time(steps, arrivals, hands):
    shop = Shop({"fitter": hands, "machinist": 1}, day=480)
    usable = {"clutch": np.array(arrivals[:4]), "shaft": np.array(arrivals[4:])}
    result = run(steps, shop, usable, draws=4)
    for draw in range(4):
        one = finish_by_hand(steps, shop, {part: int(at[draw]) for part, at in usable.items()})
        assert result.finish[:, draw].tolist() == one


@given(networks(), st.lists(st.integers(0, 5000), min_size=2, max_size=2))
def test_no_finish_beats_the_critical_path_or_the_hours_there_are(steps, arrivals):
    usable = dict(zip(("clutch", "shaft"), arrivals, strict=True))
    shop = Shop({"fitter": 1, "machinist": 1}, day=480)
    result = run(steps, shop, {part: np.array([at]) for part, at in usable.items()}, draws=1)
    assert result.finish.max() >= longest_path(steps, usable)
    for trade in shop.hands:
        # In the last, begun day hours are shared freely: up to it no more is done than hands allow.
        total = sum(step.minutes for step in steps if step.trade == trade)
        assert -(-int(result.finish.max()) // shop.day) * shop.day >= total


@given(networks(vehicles=1), st.integers(0, 4000), st.integers(0, 4000))
def test_a_part_that_comes_sooner_never_delays_with_hands_enough(steps, at, sooner):
    many = Shop({"fitter": 1000, "machinist": 1000}, day=480)
    both = np.array([at, max(0, at - sooner)])
    result = run(steps, many, {"clutch": both, "shaft": np.array([960, 960])}, draws=2)
    assert (result.finish[:, 1] <= result.finish[:, 0]).all()

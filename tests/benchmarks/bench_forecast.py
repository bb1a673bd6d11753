"""Ten vehicles × 200 steps × 1,000 draws: python -m tests.benchmarks.bench_forecast

Prints the whole forecast's time beside a plain Python version, one draw at a time, of the same picture of the shop.
"""

import time
from datetime import date

import numpy as np

from shop.planning.finish_forecast import Forecast, ForecastInputs
from shop.planning.hours_record import HoursRecord, draw_minutes
from shop.planning.network import Shop, WorkItem, run
from shop.planning.work_calendar import WorkCalendar
from tests.shop.planning.plain import finish_by_hand

DRAWS, PLAIN_DRAWS, DAY = 1000, 5, 480


def make_shop(vehicles=10, steps=200, seed=1):
    """Return steps with one to two needs each, one in twenty with a part on order, and the parts' arrivals in days."""
    rng = np.random.default_rng(seed)
    work, arrivals = [], {}
    for vehicle in range(vehicles):
        for n in range(steps):
            after = {(vehicle, int(m)) for m in rng.integers(max(0, n - 8), n, size=2)} if n else set()
            parts = ((vehicle, n, "part"),) if rng.random() < 0.05 else ()
            arrivals |= {part: np.ceil(rng.exponential(30, DRAWS)).astype(np.int64) for part in parts}
            work.append(WorkItem((vehicle, n), vehicle, int(rng.integers(2, 33)) * 15, tuple(after), parts))
    return work, arrivals


def seconds(action, times=5):
    """Return the fastest of several processor times [s]: the shop's box may have other work."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        action()
        taken.append(time.process_time() - start)
    return min(taken)


def figures():
    """Return the seconds of the network's runs."""
    work, arrivals = make_shop()
    usable = {part: days * DAY for part, days in arrivals.items()}
    return {
        "network of 2,000 steps, 1,000 runs": seconds(lambda: run(work, Shop({"fitter": 3}, DAY), usable, DRAWS), 2)
    }


def main():
    work, arrivals = make_shop()
    shop = Shop({"fitter": 3}, DAY)
    usable = {part: days * DAY for part, days in arrivals.items()}
    first = [{part: int(at[draw]) for part, at in usable.items()} for draw in range(PLAIN_DRAWS)]
    estimated, past = (
        [step.minutes for step in work],
        HoursRecord(tuple(np.random.default_rng(2).lognormal(0, 0.4, 60))),
    )
    rng = np.random.default_rng(3)
    minutes = draw_minutes(estimated, [0] * len(work), past, DRAWS, rng)
    inputs = ForecastInputs(date(2026, 11, 25), work, shop, WorkCalendar("DE", "BY"), arrivals, minutes, DRAWS)

    together = seconds(lambda: run(work, shop, usable, DRAWS))
    whole = seconds(lambda: Forecast(inputs).finishes)
    drawn = seconds(lambda: draw_minutes(estimated, [0] * len(work), past, DRAWS, rng))
    plain = seconds(lambda: [finish_by_hand(work, shop, at) for at in first]) * DRAWS / PLAIN_DRAWS
    print(f"network over {DRAWS} draws: {together:.2f} s; whole forecast: {whole:.2f} s; hours drawn: {drawn:.2f} s")
    print(f"plain Python, one draw at a time: {plain:.1f} s, {plain / together:.0f} times the network's time")


if __name__ == "__main__":
    main()

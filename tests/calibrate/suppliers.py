"""Does the stated P80 of a new order cover four orders in five, over suppliers drawn from a population?

A shop is drawn with 15 suppliers of 2 to 20 orders each, and one more with 0, 2, 5, 10 or 20 orders of its own; each
order is looked at on some later day, so that a good part is still open. Then its stated P80 is held against 400 further
orders of that supplier. Populations: mean days late log-normal over suppliers (median 15, factor 2.2), and 8 days for
four suppliers in five, 60 for the fifth. The laws within one supplier are not those that the record assumes, but for
the exponential one.

Wanted: 75 to 85 % over all suppliers, of the bad alone at least 70 % at 5 own orders and 75 % at 10. Found with 400
shops and seed 20262, which the formula had never seen: covered at 0/2/5/10/20 own orders (the bad alone at 5/10/20)

    exponential        continuous .807 .787 .795 .805 .808    one bad in five .802 .804 .806 .804 .806 (.749 .778 .787)
    gamma, some early  continuous .772 .818 .792 .805 .812    one bad in five .783 .816 .812 .818 .815 (.763 .785 .771)
    lognormal          continuous .808 .802 .806 .807 .815    one bad in five .784 .817 .807 .812 .815 (.753 .794 .795)

In at most 2.8 % of the shops the record gave no date at all.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np

from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Record
from shop.orders.supplier_spread import fit_spread

PROMISED = date(2026, 1, 5)
OWN_ORDERS = (0, 2, 5, 10, 20)
OTHER_SUPPLIERS = 15
GOOD_MEAN, BAD_MEAN = 8.0, 60.0
ASKED_AHEAD = 60

Rng = np.random.Generator
LAWS: dict[str, Callable[[Rng, float, int], Any]] = {
    "exponential": lambda rng, mean, n: rng.exponential(mean, n),
    "gamma, some early": lambda rng, mean, n: rng.gamma(3, mean / 3, n) - 5,
    "lognormal": lambda rng, mean, n: rng.lognormal(np.log(mean) - 0.32, 0.8, n),
}


def continuous(rng: Rng, count: int) -> Any:
    return np.exp(rng.normal(np.log(15), 0.8, count))


def one_bad_in_five(rng: Rng, count: int) -> Any:
    return np.where(rng.random(count) < 0.2, BAD_MEAN, GOOD_MEAN)


POPULATIONS = {"continuous": continuous, "one bad in five": one_bad_in_five}


@dataclass(frozen=True)
class Coverage:
    """Share of further orders here by the stated P80: of all suppliers, and of the bad ones; shops without."""

    everybody: float
    bad: float
    no_date: float


def seen(rng: Rng, law: Callable[[Rng, float, int], Any], mean: float, count: int) -> list[PastOrder]:
    """Draw orders as a shop sees them: some are looked at while they are still open."""
    late, looked_at = np.ceil(law(rng, mean, count)), np.ceil(rng.exponential(150, count))
    pairs = zip(late, looked_at, strict=True)
    return [PastOrder(PROMISED, PROMISED + timedelta(days=int(min(a, b))), bool(a <= b)) for a, b in pairs]


def coverage(law: str, population: str, own_orders: int, shops: int, seed: int = 7) -> Coverage:
    """Return the coverage of the stated P80 over `shops` drawn shops."""
    rng = np.random.default_rng(seed)
    shares, bad, silent = [], [], 0
    for _ in range(shops):
        means = POPULATIONS[population](rng, OTHER_SUPPLIERS + 1)
        counts = [*rng.integers(2, 21, OTHER_SUPPLIERS), own_orders]
        orders = {n: seen(rng, LAWS[law], *one) for n, one in enumerate(zip(means, counts, strict=True))}
        asked = OTHER_SUPPLIERS
        record = Record(asked, tuple(orders[asked]), sum(map(len, orders.values())), fit_spread(orders))
        stated = record.wait(-ASKED_AHEAD).four_in_five
        if stated is None:
            silent += 1
            continue
        here = np.ceil(LAWS[law](rng, means[asked], 400)) <= stated - ASKED_AHEAD
        shares.append(here.mean())
        if means[asked] == BAD_MEAN:
            bad.append(here.mean())
    return Coverage(float(np.mean(shares)), float(np.mean(bad)) if bad else float("nan"), silent / shops)


def report(draws: int = 400, seed: int = 7) -> list[str]:
    """Return the coverage of every law and population at every number of own orders, as lines of a table."""
    lines = ["law, population: own orders: covered (the bad alone; no date said)"]
    for law in LAWS:
        for population in POPULATIONS:
            found = {count: coverage(law, population, count, draws, seed) for count in OWN_ORDERS}
            cells = [f"{n}: {one.everybody:.3f} ({one.bad:.3f}; {one.no_date:.3f})" for n, one in found.items()]
            lines.append(f"{law}, {population}: {'  '.join(cells)}")
    return lines

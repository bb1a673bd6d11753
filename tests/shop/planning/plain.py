"""The same picture of the shop as shop.planning.network, one draw at a time in plain Python: slow, easy to believe."""

from shop.planning.network import serving_order


def finish_by_hand(steps, shop, usable_from, minutes=None):
    """Return the working minute at which each step is finished, for one draw."""
    left_on = {}
    ends = dict(usable_from)
    for n in serving_order(steps):
        step = steps[n]
        now = max((ends[key] for key in (*step.after, *step.parts) if key in ends), default=0)
        to_do = step.minutes if minutes is None else minutes[n]
        while to_do > 0:
            day = now // shop.day
            left = left_on.get((step.trade, day), shop.day * shop.hands[step.trade])
            spent = min(to_do, left, (day + 1) * shop.day - now)
            left_on[step.trade, day] = left - spent
            to_do -= spent
            now = now + spent if to_do == 0 else (day + 1) * shop.day
        ends[step.key] = now
    return [ends[step.key] for step in steps]

"""The cautions that travel with every card: the usual ones of the trade, and what the tool did not check.

Common practice, no single source; local rules and the makers' instructions come first.
"""

from __future__ import annotations

from shop.base.language import gettext_lazy

ALSO = (
    gettext_lazy("Battery off before starting work on starter, alternator, fuel or wiring."),
    gettext_lazy(
        "Hot and pressurised parts: let engine, exhaust and coolant cool; open caps slowly; release the pressure of "
        "fuel, "
        "coolant, air and hydraulics before undoing a line."
    ),
    gettext_lazy(
        "Brake and fuel lines: never reuse damaged ones; bleed and check for leaks under pressure before the road. No "
        "flame or spark near fuel."
    ),
    gettext_lazy(
        "Welding on a vehicle: battery and control units disconnected, fuel, lining and trim away, fire watch for an "
        "hour. Load-carrying welds are for a qualified welder."
    ),
    gettext_lazy(
        "Old clutch and brake linings may hold asbestos: no blowing, brushing or sanding; wet wiping or filtered "
        "extraction, as the local rules say."
    ),
    gettext_lazy(
        "New fasteners where the card says so; a torque wrench inside its calibration date; bolts looked at again by "
        "their "
        "paint marks; angle-tightened and locked bolts are never turned again."
    ),
)
KILLS = (
    gettext_lazy(
        "Under a vehicle only on stands, on firm level ground, wheels chocked; never on a jack; shake it first. "
        "Engine and gearbox on a rated hoist or transmission jack, never held by hand."
    ),
    gettext_lazy(
        "Nobody near wheels, shaft, flywheel or clutch, or in line with them, while anything turns: they can burst. No "
        "loose clothes, no overspeed trial; guards, scatter shield and hoop in place."
    ),
    gettext_lazy(
        "The engine cranks only in neutral or with the clutch down. Proved after shaft, oil and bleeding, never as the "
        "first thing tried: fuel and ignition disabled, axle on stands at ride height, other wheels chocked, "
        "nobody near wheels or shaft, one person in the seat; first by hand that the clutch frees the wheels."
    ),
    gettext_lazy("Exhaust gas kills: extraction or open doors before it runs; an extinguisher beside it."),
    gettext_lazy(
        "Flywheel, clutch, shaft and wheels: torque wrench, approved figure, new fasteners where stated, two people "
        "sign. "
        "Wheel nuts to their figure before the road, again at 50–100 km."
    ),
    gettext_lazy(
        "Springs under load, fluid under pressure, hot and falling parts, dust of old linings: the caution stands at "
        "the "
        "step."
    ),
)
NOT_CHECKED = gettext_lazy(
    "This card does not judge the vehicle's roadworthiness, its brakes, steering, structure, crash behaviour, "
    "emissions or noise. Local rules and licensed inspectors decide what may go on the road."
)

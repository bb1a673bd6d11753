"""What the shipped job templates say of the dangers of this work, at the very step, and in which order.

All of it common practice, no source; local codes and the maker's manual decide.
"""

import pytest

from shop.jobs.shipped_templates import shipped_templates

TEMPLATES = [pytest.param(template, id=template.key) for template in shipped_templates()]


def _plain(text):
    return " ".join(text.replace("**", "").split()).casefold()


def _step(template, key):
    return next(step for step in template.steps if step.key == key)


def _before(template, key):
    """The steps that a step comes after, directly or through others."""
    known = {step.key: step for step in template.steps}
    found, waiting = set(), [key]
    while waiting:
        new = set(known[waiting.pop()].after) - found
        found |= new
        waiting += new
    return found


@pytest.mark.parametrize("template", TEMPLATES)
def test_the_interlock_is_proved_after_shaft_oil_and_bleeding_and_the_road_comes_last(template):
    shaft = "shaft-in" if any(step.key == "shaft-in" for step in template.steps) else "assemble"
    assert {shaft, "fluids", "electrics", "checks"} <= _before(template, "interlock")
    assert shaft in _before(template, "fluids")
    assert "interlock" in _before(template, "start")
    assert {"start", "wheels"} <= _before(template, "road")
    assert "road" in _before(template, "handover")
    hazards = {step.key: step.hazard for step in template.steps}
    guarded = {"interlock": "runs", "start": "runs", "wheels": "lifts", "road": "drives", "handover": "hands over"}
    assert {key: hazards[key] for key in guarded} == guarded
    for step in template.steps:
        text = _plain(f"{step.text} {step.cautions}")
        assert "before anything else is tried" not in text
        assert step.key in ("interlock", "start", "road") or "turn the key" not in text.replace("nobody turns", "")


SAID = {
    "interlock": [
        "never the first thing tried",
        "fuel and ignition disabled (diesel: injection or stop solenoid)",
        "axle on stands at ride height",
        "other wheels chocked",
        "nobody near wheels or shaft",
        "one person in the seat",
        "1. by hand: in gear, pedal down, the wheels turn free",
        "2. in each gear and reverse, pedal up: no crank",
        "3. pedal switch unplugged, in gear: no crank",
    ],
    "start": [
        "extraction",
        "extinguisher",
        "leaks",
        "start in neutral",
        "clutch: pedal down",
        "each gear at low speed",
    ],
    "wheels": ["nuts to their figure", "50–100 km", "a wheel that comes off kills"],
    "road": [
        "paint marks",
        "angle-tightened and locked bolts are never turned again",
        "speed signal",
        "50–100 km",
        "hot",
    ],
    "fluids": ["slip yoke", "only now, with the shaft in", "goggles"],
    "tunnel": ["belts anchored on the tunnel", "battery off"],
    "strip": ["battery off", "transmission jack", "hot", "fall"],
    "trial": ["on the transmission jack, never by hand"],
}


@pytest.mark.parametrize("template", TEMPLATES)
@pytest.mark.parametrize("key", SAID)
def test_a_danger_is_said_at_its_very_step(template, key):
    step = _step(template, key)
    text = _plain(f"{step.text} {step.cautions}")
    assert [words for words in SAID[key] if words not in text] == []


CLUTCH_WORK = {
    "assemble": ["gearbox never by hand", "spring under load", "magnesium", "scatter shield", "two people sign"],
    "pedal": ["no pedal stroke while", "goggles", "brake pedal"],
    "shaft-in": ["hoop and shield fitted", "two people"],
}


@pytest.mark.parametrize("template", [one for one in TEMPLATES if one.id != "propshaft_and_mounts"])
@pytest.mark.parametrize("key", CLUTCH_WORK)
def test_work_on_a_clutch_has_its_own_dangers(template, key):
    step = _step(template, key)
    text = _plain(f"{step.text} {step.cautions}")
    assert [words for words in CLUTCH_WORK[key] if words not in text] == []


@pytest.mark.parametrize("template", [one for one in TEMPLATES if one.id != "propshaft_and_mounts"])
def test_an_old_clutch_and_an_externally_balanced_engine_are_said_where_they_are_met(template):
    said = [_plain(f"{step.text} {step.cautions}") for step in template.steps]
    assert any("asbestos" in text and "spring under load" in text for text in said)
    assert any("externally balanced engine: match" in text for text in said)
    if template.key == "gearbox_with_plate":
        assert "dowels" in _before(template, "assemble")
        assert "trial" in _before(template, "dowels")

"""The job templates that come with the shop, one file each in shipped/, read and checked whole."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from django.utils.translation import gettext

from shop.jobs.regulated import why_unknown
from shop.jobs.rules import HAZARDS

FOLDER = Path(__file__).parent / "shipped"


@dataclass(frozen=True)
class ShippedStep:
    """One step as written in the file: its own key, the keys of steps it comes after, questions,
    parts, and checks as what is checked and what is specified."""

    key: str
    title: str
    text: str = ""
    cautions: str = ""
    hours: Decimal = Decimal("1")
    role: str = "fitter"
    hazard: str = "none"
    touches: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    decisions: tuple[str, ...] = ()
    parts: tuple[tuple[str, Decimal], ...] = ()
    checks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class ShippedTemplate:
    """A job template as written in its file, which is named after it."""

    key: str
    name: str
    purpose: str
    steps: tuple[ShippedStep, ...]


@cache
def shipped_templates() -> tuple[ShippedTemplate, ...]:
    """Every job template in the folder, by file name. Raises ValueError naming file and step where one is wrong."""
    return tuple(read_template(path) for path in sorted(FOLDER.glob("*.toml")))


def read_template(path: Path) -> ShippedTemplate:
    """Read one file. A step may need only steps written above it, so no circle can be written at all."""
    written = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    steps = tuple(_step(one) for one in written["step"])
    above: set[str] = set()
    for step in steps:
        if wrong := [key for key in step.after if key not in above]:
            raise ValueError(
                gettext("{name}: step {key} needs {wrong}, not written above it").format(
                    name=path.name, key=f"{step.key!r}", wrong=wrong
                )
            )
        if wrong := [subject for subject in step.touches if why_unknown(subject)]:
            raise ValueError(
                gettext("{name}: step {key} touches unknown {wrong}").format(
                    name=path.name, key=f"{step.key!r}", wrong=wrong
                )
            )
        if step.hazard not in HAZARDS:
            raise ValueError(
                gettext("{name}: step {key} has unknown hazard {hazard}").format(
                    name=path.name, key=f"{step.key!r}", hazard=f"{step.hazard!r}"
                )
            )
        if step.key in above:
            raise ValueError(gettext("{name}: two steps are called {key}").format(name=path.name, key=f"{step.key!r}"))
        above.add(step.key)
    return ShippedTemplate(path.stem, written["name"], written["purpose"].strip(), steps)


def _step(written: dict) -> ShippedStep:
    fields = {
        **written,
        "text": written.get("text", "").strip(),
        "cautions": " ".join(written.get("cautions", "").split()),
    }
    for name in ("touches", "after", "decisions"):
        fields[name] = tuple(written.get(name, ()))
    fields["hours"] = Decimal(written.get("hours", 1))
    fields["checks"] = tuple((what, specified) for what, specified in written.get("checks", ()))
    fields["parts"] = tuple((text, Decimal(quantity)) for text, quantity in written.get("parts", ()))
    return ShippedStep(**fields)

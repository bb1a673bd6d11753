"""Whether a plate is thick enough for what it holds and fits the axial stack: in a line, and need by need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext

from shop.base.language import capfirst, gettext_lazy, word
from shop.base.rows import Row
from shop.calculate.verdict_text import VerdictText
from shop.plate.layout import PlateLayout
from shop.worksheets.rules import IN_DOUBT, Origin
from specs.engine.units import LENGTH, System, show
from specs.phrase import joined
from specs.plate.thickness import ThicknessNeed

# The worst first, each with its mark (of `shop.base.rows.MARKS`) and how the two halves of the answer say it.
_THICK = {
    "fails": ("fails", gettext_lazy("Too thin for {what}")),
    "too close to call": ("check", gettext_lazy("Too close to call: thick enough for {what}")),
    "not known": ("waiting", gettext_lazy("Not known whether it is thick enough for {what}")),
    IN_DOUBT: ("check", gettext_lazy("In doubt whether it is thick enough")),
    "holds": ("done", gettext_lazy("Thick enough for all that it holds")),
}
_STACK = {
    "fails": gettext_lazy("the axial stack fails"),
    "too close to call": gettext_lazy("the axial stack is too close to call"),
    "not known": gettext_lazy("the axial stack is not known"),
    IN_DOUBT: gettext_lazy("the axial stack is in doubt"),
    "holds": gettext_lazy("the axial stack holds"),
}


@dataclass(frozen=True)
class ShownNeed:
    """A need with its verdict, and what the plate must be at least [m]."""

    need: ThicknessNeed
    verdict: str
    least: float | None


@dataclass(frozen=True)
class InStack:
    """One worksheet of the stack: what it answers and how it stands, in words; its checks today, and at which thickness
    they would change."""

    what: str
    calculation: str
    title: str
    address: str
    headline: str
    checks: tuple[tuple[str, str], ...]
    turns: tuple[str, ...]


def shown_needs(plate: PlateLayout, found: Sequence[ThicknessNeed]) -> list[ShownNeed]:
    """Each need against the thickness as it is known: what holds on a reading in doubt does not plainly hold."""
    origin = _thickness(plate)
    half, doubted = LENGTH.from_si(origin.tolerance), bool(origin.doubts)
    verdicts = [need.verdict(plate.thickness, half) for need in found]
    return [
        ShownNeed(
            need,
            IN_DOUBT if doubted and verdict == "holds" else verdict,
            None if need.needed is None else LENGTH.to_si(need.needed),
        )
        for need, verdict in zip(found, verdicts, strict=True)
    ]


def need_row(one: ShownNeed, system: System) -> Row:
    """A need as one row: what must be held, by which holes and how that comes about, and the least thickness."""
    verdict = gettext("too thin") if one.verdict == "fails" else word(one.verdict)
    least = "" if one.least is None else show(one.least, LENGTH, system)
    return Row(
        _THICK[one.verdict][0],
        capfirst(one.need.what),
        note=joined(" · ", [", ".join(one.need.holes), one.need.working]),
        figure=gettext("at least {least}").format(least=least) if least else verdict,
        under=verdict if least else "",
        red=one.verdict == "fails",
        said=verdict,
    )


def stack_rows(one: InStack) -> list[Row]:
    """The checks of a worksheet of the stack, a row each."""
    return [
        Row(
            _THICK.get(verdict, ("check",))[0],
            capfirst(name),
            figure=word(verdict),
            red=verdict == "fails",
            said=word(verdict),
        )
        for name, verdict in one.checks
    ]


def thickness_verdict(
    plate: PlateLayout, needs: Sequence[ShownNeed], stack: Sequence[InStack], is_whole: bool, system: System
) -> VerdictText:
    """The answer in a line: thick enough for what it holds, and what the axial stack says, the worse of both marked.

    is_whole: whether a worksheet of each kind follows the plate; without one the stack is not known at best.
    """
    thick = _worst([one.verdict for one in needs])
    checks = [verdict for one in stack for _, verdict in one.checks or (("", "not known"),)]
    behind = _worst(checks if is_whole else [*checks, "not known"])
    what = ", ".join(dict.fromkeys(one.need.what for one in needs if one.verdict == thick)) or gettext("what it holds")
    headline = f"{_THICK[thick][1].format(what=what)}; {_STACK[behind]}"
    return VerdictText(_THICK[_worst([thick, behind])][0], headline, _note(plate, needs, system))


def _note(plate: PlateLayout, needs: Sequence[ShownNeed], system: System) -> str:
    origin = _thickness(plate)
    half = f" ± {show(origin.tolerance, LENGTH, system)}" if origin.tolerance else ""
    there = gettext("It is {thickness}").format(thickness=f"{show(plate.given.thickness, LENGTH, system)}{half}")
    told = [one for one in needs if one.least is not None]
    said = [there, *map(word, origin.doubts)]
    if told:
        most = max(told, key=lambda one: one.least or 0.0)
        words = gettext("{what} ask for most: {least}")
        said.insert(1, words.format(what=most.need.what, least=show(most.least or 0.0, LENGTH, system)))
    return "; ".join(said)


def _worst(verdicts: Sequence[str]) -> str:
    """The worst of them; where there is none, nothing is known to hold."""
    return next((verdict for verdict in _THICK if verdict in verdicts), "not known")


def _thickness(plate: PlateLayout) -> Origin:
    assert plate.state.resolved is not None
    return next(origin for origin in plate.state.resolved.origins if origin.path == "thickness")

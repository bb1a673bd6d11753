"""Torques as rows of a card: those due next with figure, rounds and boxes to sign, the others a line each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table, TableStyle

from shop.base.language import gettext_lazy
from shop.print.card_facts import TorqueFacts
from shop.print.layout import SIGN_HEIGHT, SIGN_WIDTH, Box, Rows, row_rules, table
from shop.print.styles import WIDTH
from shop.print.text import words
from shop.torque.text import NO_TORQUE

ADVICE = gettext_lazy(
    "The maker's figure comes first. A torque wrench scatters by 25 to 30 % in preload; condition of the thread (dry, "
    "oiled, locking compound) as stated, or the figure does not hold. Holes and sequence are drawn on the torque sheet."
)
# More holes than this are named on the torque sheet alone.
_MOST_NAMED = 16
_SIGN = SIGN_WIDTH + 1.5 * mm


def due_rows(torques: Sequence[TorqueFacts]) -> Iterator[Flowable]:
    """Each torque with its figure large, its rounds and sequence, and two boxes to sign; none without a figure."""
    for torque in torques:
        yield _due(torque)


def _due(torque: TorqueFacts) -> Flowable:
    if not torque.torque:
        return _row([[[words(f"T{torque.number} {torque.place}: {NO_TORQUE}", "strong"), _why(torque)]]], [WIDTH])
    signing = [
        _boxes([gettext("Wrench, set to"), gettext("Tightened by, date")]),
        _boxes([gettext("Adapter"), gettext("Checked by, date")]),
    ]
    middle = WIDTH - 2 * _SIGN
    return _row([[_figure(torque, middle), signing]], [middle, 2 * _SIGN])


def _figure(torque: TorqueFacts, room: float) -> list[Flowable]:
    told = [words(torque.torque, "large"), *_named(torque), words(torque.basis.said, "small"), *_warnings(torque)]
    return [*told, *rounds_and_sequence(torque)]


def rounds_and_sequence(torque: TorqueFacts) -> list[Flowable]:
    """The rounds with their figures and the sequence by hole names; nothing where no figure is approved."""
    if not torque.torque:
        return []
    told: list[Flowable] = [words(" – ".join(figure for _, figure in torque.rounds), "cell", gettext("Rounds: "))]
    plan, lead = torque.plan, gettext("Sequence: ")
    if plan and len(plan.holes) > _MOST_NAMED:
        told.append(words(gettext("as drawn on the torque sheet."), "cell", lead))
    elif plan and plan.holes:
        told.append(words(" – ".join(plan.sequence), "cell", lead))
    elif torque.order_words:
        told.append(words(f"{torque.order_words}. {plan.note if plan else ''}", "cell", lead))
    return told


def _why(torque: TorqueFacts) -> Flowable:
    step = gettext(" · step {step}").format(step=torque.step) if torque.step else ""
    return words(f"{_what(torque)}{step} · {_why_not(torque)}", "dense")


def _what(torque: TorqueFacts) -> str:
    return f"{torque.component} · {torque.fastener}, {torque.condition}"


def _named(torque: TorqueFacts) -> list[Flowable]:
    step = gettext(" · step {step}").format(step=torque.step) if torque.step else ""
    return [
        words(f"T{torque.number} {torque.place}", "strong"),
        words(f"{_what(torque)}{step}", "small"),
    ]


def _warnings(torque: TorqueFacts) -> list[Flowable]:
    told = [words(torque.flag, "caution")] if torque.flag else []
    if torque.single_use:
        told.append(words(gettext("SINGLE USE: fit new fasteners every time."), "caution"))
    if torque.sign_again:
        told.append(words(torque.sign_again, "small", gettext("SIGN AGAIN: ")))
    return told


def _why_not(torque: TorqueFacts) -> str:
    again = gettext(" SIGN AGAIN: {sign_again}").format(sign_again=torque.sign_again) if torque.sign_again else ""
    return f"{torque.basis.why_not}{again}"


def _boxes(labels: Sequence[str]) -> Flowable:
    """Two boxes side by side, the second never lower than a signature needs."""
    cells = [Box(label, SIGN_WIDTH, SIGN_HEIGHT) for label in labels]
    bare: list[Any] = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")]
    bare.append(("BOTTOMPADDING", (0, 0), (-1, -1), 1.2 * mm))
    return Table([cells], [_SIGN] * len(labels), style=TableStyle(bare), hAlign="LEFT")


def _row(cells: list[list[Any]], widths: list[float]) -> Flowable:
    return Rows(cells, widths, style=TableStyle(row_rules(black)))


def brief_rows(torques: Sequence[TorqueFacts]) -> Flowable:
    """A line each, what and the figure or that there is none: for a sheet that has no room for boxes to sign."""
    rows = [
        [
            words(f"T{torque.number}", "dense-strong"),
            f"{torque.place}: {torque.fastener}, {torque.condition}"
            + (gettext(" · step {step}").format(step=torque.step) if torque.step else ""),
            [words(torque.torque or NO_TORQUE, "figure" if torque.torque else "dense-strong"), *_warned(torque)],
        ]
        for torque in torques
    ]
    return table([], rows, (0.05, 0.63, 0.32), name="dense")


def _warned(torque: TorqueFacts) -> list[Flowable]:
    return [words(torque.flag, "dense-strong")] if torque.flag else []


def listed_rows(torques: Sequence[TorqueFacts]) -> Flowable:
    """A line each: what, the figure or that there is none, the rounds, and who signed."""
    return table(
        ["", gettext("Fasteners"), gettext("Torque"), gettext("Signed, or why not")],
        map(_listed, torques),
        (0.05, 0.43, 0.2, 0.32),
        name="dense",
    )


def _listed(torque: TorqueFacts) -> list[Any]:
    named = [
        words(f"{torque.place}: {torque.fastener}, {torque.condition}", "dense-strong"),
        words(
            f"{torque.component}" + (gettext(" · step {step}").format(step=torque.step) if torque.step else ""), "dense"
        ),
    ]
    if torque.single_use:
        named.append(words(gettext("SINGLE USE: fit new fasteners every time."), "dense-strong"))
    figure: list[Flowable] = [words(torque.torque or NO_TORQUE, "strong")]
    if torque.torque:
        figure.append(words(" – ".join(figure for _, figure in torque.rounds), "dense"))
    return [words(f"T{torque.number}", "dense-strong"), named, figure, _state(torque)]


def _state(torque: TorqueFacts) -> list[Flowable]:
    if torque.is_done:
        return [words(torque.signed, "dense", gettext("Signed: "))]
    told = [words(torque.sign_again, "dense", gettext("SIGN AGAIN: "))] if torque.sign_again else []
    told += [words(torque.flag, "dense-strong")] if torque.flag else []
    return [*told, words(_why_not(torque) if not torque.torque else torque.basis.said, "dense")]

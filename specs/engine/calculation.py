"""The contract of a calculation: what a file in `specs/calculations/` declares, and nothing else anywhere.

A calculation file holds a frozen dataclass `Inputs`, a frozen dataclass `Outputs`, a pure `solve(given) -> Outputs`
over SI floats, and `CALCULATION = Calculation(...)`. The form, the command, the stored record, the printed working and
the measurement bands are all derived from these. The file's name is the calculation's name (`clutch_capacity.py` is
"clutch-capacity"); dropping the file into the folder registers it.

Bounds, defaults and examples are written in the contract's units (mm, MPa, rpm …, see `specs.engine.units`), because
that is how the sources print them; `solve` receives and returns coherent SI (m, Pa, rad/s …). Where two inputs
contradict each other, `solve` raises `Refused("input_name", "what is wrong and what is accepted")`.

    @dataclass(frozen=True, kw_only=True)
    class Inputs:
        outside_diameter: float = quantity(LENGTH, "Outside diameter", symbol="D", above=0)
        engine_torque: float | None = quantity(TORQUE, "Engine torque", symbol="T_e", above=0, optional=True)

    @dataclass(frozen=True, kw_only=True)
    class Outputs:
        mean_radius: float = result(LENGTH, "Mean friction radius", symbol="r_m")
"""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Generic, SupportsIndex, TypeVar

import specs.calculations
from specs.engine.fields import REQUIRED, Bounds, Field
from specs.engine.units import Kind
from specs.standards.publications import Source, cite

if TYPE_CHECKING:
    from specs.drawings.primitives import Drawing
    from specs.engine.checks import Check

I = TypeVar("I")  # noqa: E741
O = TypeVar("O")  # noqa: E741


class BadInput(ValueError):
    """A request that was refused: `errors` says for each input what is wrong and what is accepted."""

    def __init__(self, errors: dict[str, str]) -> None:
        super().__init__("; ".join(f"{name}: {reason}" for name, reason in errors.items()))
        self.errors = errors


class Refused(ValueError):
    """A combination of inputs that the calculation cannot answer, told at the input that has to change."""

    def __init__(self, input_name: str, reason: str) -> None:
        super().__init__(reason)
        self.input_name = input_name
        self.reason = reason


def answer_or_none(solve: Callable[[I], O], given: I) -> O | None:
    """Solve; None where the calculation refuses."""
    try:
        return solve(given)
    except (ArithmeticError, ValueError):
        return None


def _declare(declared: Field) -> Any:
    # Only what may be absent has a dataclass default: declared defaults are in the contract's units, for the reader.
    return (
        field(default=None, metadata={"declared": declared})
        if declared.optional
        else field(metadata={"declared": declared})
    )


def quantity(
    kind: Kind,
    label: str,
    *,
    symbol: str = "",
    default: float | Any = REQUIRED,
    optional: bool = False,
    above: float | None = None,
    at_least: float | None = None,
    below: float | None = None,
    at_most: float | None = None,
    group: str = "",
    help: str = "",
) -> Any:
    """Declare a number with a unit (float, SI, in `solve`); bounds and default in the contract's unit."""
    bounds = Bounds(above, at_least, below, at_most)
    return _declare(Field("quantity", label, kind, symbol, help, group, bounds, default, optional))


def whole(
    label: str,
    *,
    symbol: str = "",
    default: int | Any = REQUIRED,
    at_least: int = 1,
    at_most: int | None = None,
    group: str = "",
    help: str = "",
) -> Any:
    """Declare a whole number (int in `solve`)."""
    bounds = Bounds(at_least=at_least, at_most=at_most)
    return _declare(Field("whole", label, None, symbol, help, group, bounds, default))


def choice(
    label: str, options: tuple[str, ...], *, default: str | Any = REQUIRED, optional: bool = False, **words: Any
) -> Any:
    """Declare one of a few words (str in `solve`); `group` and `help` as elsewhere."""
    return _declare(Field("choice", label, options=options, default=default, optional=optional, **words))


def text(label: str, *, default: str | Any = REQUIRED, optional: bool = False, **words: Any) -> Any:
    """Declare a designation such as a thread or a tyre (str in `solve`, which reads it)."""
    return _declare(Field("text", label, default=default, optional=optional, **words))


def quantities(
    kind: Kind,
    label: str,
    *,
    symbol: str = "",
    default: Iterable[float] | Any = REQUIRED,
    at_least: int = 1,
    above: float | None = None,
    bounds: Bounds | None = None,
    group: str = "",
    help: str = "",
) -> Any:
    """Declare a list of numbers with one unit (tuple of float, SI, in `solve`); `at_least` entries are needed."""
    limits = bounds or Bounds(above=above)
    return _declare(Field("quantities", label, kind, symbol, help, group, limits, default, at_least=at_least))


def names(label: str, *, default: Iterable[str] | Any = REQUIRED, at_least: int = 0, **words: Any) -> Any:
    """Declare a list of names (tuple of str in `solve`), each at most once."""
    return _declare(Field("names", label, default=default, at_least=at_least, **words))


def records(row: type, label: str, *, default: Iterable[Any] | Any = REQUIRED, at_least: int = 1, **words: Any) -> Any:
    """Declare a list of objects (tuple of `row` in `solve`); a row field called `name` is unique within the list."""
    return _declare(Field("records", label, default=default, at_least=at_least, row=row, **words))


def _output(declared: Field, optional: bool) -> Any:
    return _declare(dataclasses.replace(declared, optional=optional))


def result(kind: Kind, label: str, *, symbol: str = "", optional: bool = False, **words: Any) -> Any:
    """Declare an output quantity (float, SI); None where it is optional and does not apply."""
    return _output(Field("quantity", label, kind, symbol, **words), optional)


def results(kind: Kind, label: str, *, symbol: str = "", optional: bool = False, **words: Any) -> Any:
    """Declare an output list of quantities (tuple of float, SI)."""
    return _output(Field("quantities", label, kind, symbol, **words), optional)


def text_result(label: str, *, optional: bool = False, **words: Any) -> Any:
    """Declare an output word (str)."""
    return _output(Field("text", label, **words), optional)


def number_list_result(label: str, *, optional: bool = False, **words: Any) -> Any:
    """Declare an output list of whole numbers (tuple of int)."""
    return _output(Field("numbers", label, **words), optional)


def name_list_result(label: str, *, optional: bool = False, **words: Any) -> Any:
    """Declare an output list of names (tuple of str)."""
    return _output(Field("names", label, **words), optional)


def pair_list_result(label: str, *, optional: bool = False, **words: Any) -> Any:
    """Declare an output list of pairs of names (tuple of tuples of str)."""
    return _output(Field("pairs", label, **words), optional)


def table_result(row: type, label: str, *, optional: bool = False, **words: Any) -> Any:
    """Declare an output table (tuple of `row`, a dataclass declared with `result` and `text_result`)."""
    return _output(Field("records", label, row=row, **words), optional)


@dataclass(frozen=True)
class WorkingStep:
    """One line of working: a formula in symbols, from which the numbers and the result are printed.

    formula: "T = mu * F * N * r_m" (Greek letters spelled out, `_` before a subscript): the left side one symbol, the
    right side an arithmetic expression (+ - * / **, sqrt, sin, cos, tan, atan, atan2, asin, acos, hypot, abs, min, max,
    pi) over symbols. A symbol is that of a declared input or output, or one given in `values`. A test evaluates the
    right side in SI and demands the left side's value.
    values: further symbols of this line, each (SI value, kind).
    note: why this line, in a few words.
    """

    formula: str
    values: Mapping[str, tuple[float, Kind]] = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True)
class Calculation(Generic[I, O]):
    """A calculation's whole declaration.

    title: as a heading. question: what a fitter asks that this answers. area: the heading it is listed under.
    example: a request in the contract's units that runs; shown in the form's help and run by a test.
    solve_all: `solve` for many inputs at once, None where it refuses; only where that is much quicker, for bands.
    working, checks, warn, drawing: functions of (given, found), both in SI.
    cautions: always shown; `warn` adds those that depend on the numbers.
    limits: limits of validity, in words. not_checked: what this page leaves to the person, in words.
    transforms: it only turns its inputs into other figures, and has nothing to judge: no checks, so no verdict.
    answered_by: the output that answers the question where there is no check to; the first where none is named.
    revision: raised by every change that alters a result.
    """

    title: str
    question: str
    area: str
    inputs: type[I]
    outputs: type[O]
    solve: Callable[[I], O]
    working: Callable[[I, O], Iterable[WorkingStep]]
    cautions: tuple[str, ...]
    sources: tuple[Source, ...]
    limits: tuple[str, ...]
    example: Mapping[str, Any]
    not_checked: tuple[str, ...] = ()
    checks: Callable[[I, O], Iterable[Check]] = lambda given, found: ()
    warn: Callable[[I, O], Iterable[str]] = lambda given, found: ()
    drawing: Callable[[I, O], Drawing | None] | None = None
    solve_all: Callable[[Sequence[I]], Sequence[O | None]] | None = None
    transforms: bool = False
    answered_by: str = ""
    revision: int = 1
    name: str = ""

    def __reduce_ex__(self, protocol: SupportsIndex) -> Any:
        # One of the list is that one wherever it is read again.
        return (find, (self.name,)) if find(self.name) is self else super().__reduce_ex__(protocol)

    @cached_property
    def cited(self) -> tuple[str, ...]:
        """The sources as printed, each once."""
        return cite(self.sources)

    def cautions_for(self, given: I, found: O) -> tuple[str, ...]:
        """Give the cautions that hold for this answer: those that its numbers call for, then the usual ones."""
        return (*self.warn(given, found), *self.cautions)


@cache
def calculations() -> Mapping[str, Calculation[Any, Any]]:
    """Give all calculations by name, in the alphabet's order."""
    found = {}
    for module in sorted(entry.name for entry in pkgutil.iter_modules(specs.calculations.__path__)):
        name = module.replace("_", "-")
        declared = importlib.import_module(f"specs.calculations.{module}").CALCULATION
        found[name] = dataclasses.replace(declared, name=name)
    return MappingProxyType(found)


def find(name: str) -> Calculation[Any, Any] | None:
    """Give the calculation of that name, or None."""
    return calculations().get(name)

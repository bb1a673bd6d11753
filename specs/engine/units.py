"""Kinds of quantity with their unit words, and how a value of one is shown in metric or inch units.

Inside the calculations every quantity is a float in coherent SI units (m, N, N·m, Pa, rad/s …). The words that a
person may type are an allow-list, each mapped once, at import, to a factor taken from pint's registry: those of today
are kept in `factors.csv`, since building the registry takes longer than answering a thousand requests.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, cached_property
from importlib.resources import files
from typing import TYPE_CHECKING, Literal

from specs.written import figures as figures_of
from specs.written import with_minus

if TYPE_CHECKING:
    import pint

System = Literal["metric", "inch"]


@dataclass(frozen=True)
class Factor:
    """How many SI units one unit is, as a quotient, so that 13 mm becomes 13/1000 m, correctly rounded."""

    times: float
    over: float

    def to_si(self, value: float) -> float:
        """Convert a value in this unit to SI."""
        return value * self.times / self.over

    def from_si(self, value: float) -> float:
        """Convert an SI value to this unit."""
        return value * self.over / self.times


@dataclass(frozen=True)
class Reader:
    """Whom a text or a picture is written for: the unit system, and the bands of results by their value (both SI).

    is_absent: nobody reads it, so nothing need be written.
    """

    system: System = "metric"
    bands: Mapping[float, float] = field(default_factory=dict)
    is_absent: bool = False


_READER: ContextVar[Reader] = ContextVar("reader", default=Reader())  # noqa: B039 (frozen, and never written into)


@contextmanager
def written_for(system: System, bands: Mapping[float, float] | None = None) -> Iterator[None]:
    """Write for this reader within the block: what a calculation says of its numbers, and what it draws.

    A calculation knows numbers only; every picture, check and caution writes them with `show`, which asks here.
    bands: half-width by the value that it belongs to, so that a result is nowhere written finer than it is known.
    """
    with _reading(Reader(system, bands or {})):
        yield


@contextmanager
def written_for_nobody() -> Iterator[None]:
    """Write nothing within the block: `show` is half of what a check costs, and a trial's words are never read."""
    with _reading(Reader(is_absent=True)):
        yield


@contextmanager
def _reading(reader: Reader) -> Iterator[None]:
    token = _READER.set(reader)
    try:
        yield
    finally:
        _READER.reset(token)


@dataclass(frozen=True)
class Kind:
    """A kind of quantity.

    name: as used in declarations and stored records ("length").
    words: the unit words a person may type, each with its factor to SI.
    unit: the unit of the calculations' contract and of metric display ("mm").
    inch_unit: the unit shown to a person who works in inches.
    resolution: what is smaller [unit] is rounding left over, far below anything that a workshop measures, and reads 0.
    """

    name: str
    unit: str
    inch_unit: str
    words: dict[str, Factor]
    resolution: float = 1e-6

    def unit_for(self, system: System | None = None) -> str:
        """Name the unit in which a person of this unit system, or the reader's (see `written_for`), types and reads."""
        return self.inch_unit if (system or _READER.get().system) == "inch" else self.unit

    @cached_property
    def _own(self) -> Factor:
        return self.words[self.unit]

    def to_si(self, value: float, unit: str | None = None) -> float:
        """Convert a value in `unit` (the contract's unit by default) to SI."""
        return (self.words[unit] if unit else self._own).to_si(value)

    def from_si(self, value: float, unit: str | None = None) -> float:
        """Convert an SI value to `unit` (the contract's unit by default)."""
        return (self.words[unit] if unit else self._own).from_si(value)

    def drawn(self, value: float) -> float:
        """Convert an SI value to the unit of whoever it is written for: a place on the axis of a chart."""
        return self.from_si(value, self.unit_for(_READER.get().system))

    @property
    def drawn_unit(self) -> str:
        """The unit of such an axis, as it is printed."""
        return unit_text(self.unit_for(_READER.get().system))


@cache
def registry() -> pint.UnitRegistry[float]:
    """Give pint's registry, which nobody asks for but for a factor that is not kept yet."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


@cache
def kept_factors() -> Mapping[str, Factor]:
    """Give the factors of `factors.csv` by what pint calls the unit; a test compares each with the registry's."""
    rows = csv.DictReader(files("specs.engine").joinpath("factors.csv").read_text(encoding="utf-8").splitlines())
    return {row["unit"]: Factor(float(row["times"]), float(row["over"])) for row in rows}


def factor(expression: str) -> Factor:
    """Take a factor from the registry, as a quotient of whole numbers where it is one (25.4 mm = 127/5000 m)."""
    quantity = registry().Quantity(1.0, expression)
    value = float(quantity.to_base_units().magnitude)
    quotient = Fraction(value).limit_denominator(10_000)
    if quotient.numerator and abs(float(quotient) / value - 1) < 1e-15:
        return Factor(float(quotient.numerator), float(quotient.denominator))
    inverse = Fraction(1 / value).limit_denominator(1)
    if inverse and abs(value * inverse - 1) < 1e-15:
        return Factor(1.0, float(inverse))
    return Factor(value, 1.0)


_FINER = {"inertia": 1e-9, "angle": 1e-7, "expansion": 1e-12, "time": 1e-9, "ratio": 1e-9}


def _kind(name: str, unit: str, inch_unit: str, words: str) -> Kind:
    """Declare a kind. words: "mm=millimeter cm=centimeter": each that a person may type, and what pint calls it."""
    pairs = [pair.partition("=") for pair in words.split()]
    factors = {word: kept_factors().get(expression) or factor(expression) for word, _, expression in pairs}
    return Kind(name, unit, inch_unit, factors, _FINER.get(name, 1e-6))


_INCHES = 'in=inch ft=foot "=inch ″=inch ′=foot thou=thou mil=thou'
LENGTH = _kind("length", "mm", "in", f"mm=millimeter μm=micrometer um=micrometer cm=centimeter m=meter {_INCHES}")
AREA = _kind("area", "mm^2", "in^2", "mm^2=millimeter**2 in^2=inch**2")
VOLUME = _kind("volume", "cm^3", "in^3", "cm^3=centimeter**3 in^3=inch**3")
FORCE = _kind("force", "N", "lbf", "N=newton kN=kilonewton lbf=pound_force kgf=kilogram_force kip=kilopound_force")
_POUND_FEET = "lbf*ft=pound_force*foot ft*lbf=pound_force*foot lb*ft=pound_force*foot ft*lb=pound_force*foot"
_METRIC_TORQUES = "N*m=newton*meter Nm=newton*meter kN*m=kilonewton*meter kgf*m=kilogram_force*meter"
TORQUE = _kind("torque", "N*m", "lbf*ft", f"{_METRIC_TORQUES} {_POUND_FEET} lbf*in=pound_force*inch")
_POUNDS_AN_INCH = "psi=pound_force/inch**2 ksi=kilopound_force/inch**2"
STRESS = _kind("stress", "MPa", "psi", f"MPa=megapascal GPa=gigapascal Pa=pascal bar=bar {_POUNDS_AN_INCH}")
SPEED = _kind("speed", "rpm", "rpm", "rpm=revolution/minute rad/s=radian/second Hz=revolution/second")
ROAD_SPEED = _kind("road speed", "km/h", "mph", "km/h=kilometer/hour mph=mile/hour m/s=meter/second")
MASS = _kind("mass", "kg", "lb", "kg=kilogram g=gram t=metric_ton lb=pound")
INERTIA = _kind("inertia", "kg*m^2", "lb*ft^2", "kg*m^2=kilogram*meter**2 lb*ft^2=pound*foot**2")
ANGLE = _kind("angle", "deg", "deg", "deg=degree rad=radian °=degree")
DENSITY = _kind(
    "density", "kg/m^3", "lb/in^3", "kg/m^3=kilogram/meter**3 g/cm^3=gram/centimeter**3 lb/in^3=pound/inch**3"
)
ENERGY = _kind("energy", "J", "J", "J=joule")
ENERGY_PER_AREA = _kind("energy per area", "J/mm^2", "J/mm^2", "J/mm^2=joule/millimeter**2")
CONDUCTIVITY = _kind("conductivity", "W/m/K", "W/m/K", "W/m/K=watt/meter/kelvin")
TEMPERATURE_RISE = _kind("temperature rise", "K", "K", "K=kelvin")
SPECIFIC_HEAT = _kind("specific heat", "J/kg/K", "J/kg/K", "J/kg/K=joule/kilogram/kelvin")
EXPANSION = _kind("expansion", "1/K", "1/K", "1/K=1/kelvin")
TIME = _kind("time", "s", "s", "s=second")
ANGULAR_ACCELERATION = _kind("angular acceleration", "rad/s^2", "rad/s^2", "rad/s^2=radian/second**2")
RATIO = _kind("ratio", "1", "1", "1= %=percent")

_MECHANICAL = (LENGTH, AREA, VOLUME, FORCE, TORQUE, STRESS, SPEED, ROAD_SPEED, MASS, INERTIA, ANGLE, DENSITY)
_THERMAL = (ENERGY, ENERGY_PER_AREA, CONDUCTIVITY, TEMPERATURE_RISE, SPECIFIC_HEAT, EXPANSION)
KINDS = {kind.name: kind for kind in (*_MECHANICAL, *_THERMAL, TIME, ANGULAR_ACCELERATION, RATIO)}
# Of a line of working only, where the formula wants them: nobody types or reads a result in these.
RADIANS = _kind("radians", "rad", "rad", "rad=radian")
ANGULAR_SPEED = _kind("angular speed", "rad/s", "rad/s", "rad/s=radian/second")
DEGREES = _kind("degrees", "deg", "deg", "deg=")
RPM = _kind("turns a minute", "rpm", "rpm", "rpm=")


DEFAULT_FIGURES = 4
MOST_FIGURES = 6
_SPOKEN = {"N*m": "N·m", "lbf*ft": "lbf·ft", "mm^2": "mm²", "cm^3": "cm³", "kg*m^2": "kg·m²", "lb*ft^2": "lb·ft²"}
_SPOKEN |= {"in^2": "in²", "in^3": "in³", "deg": "°", "rad/s^2": "rad/s²", "kg/m^3": "kg/m³", "lb/in^3": "lb/in³"}
_SPOKEN |= {"J/mm^2": "J/mm²", "W/m/K": "W/(m·K)", "1": ""}


def unit_text(unit: str) -> str:
    """Write a contract unit as it is printed: N*m as N·m, mm^2 as mm²."""
    return _SPOKEN.get(unit, unit)


def _decimals(value: float, band: float | None, figures: int | None) -> int:
    """Decimal places that the band supports, or those of `figures` significant figures.

    A band keeps the place of its own leading digit, and one place more where that digit is 1 or 2 (the usual rule for
    stating an uncertainty: ISO/IEC Guide 98-3, 7.2.6, at most two significant digits).
    """
    if band:
        exponent = math.floor(math.log10(abs(band)))
        leading = abs(band) / 10**exponent
        return -exponent + (1 if leading < 3 else 0)
    return (figures or DEFAULT_FIGURES) - 1 - (math.floor(math.log10(abs(value))) if value else 0)


def number(value: float, band: float | None = None, figures: int | None = None) -> str:
    """Write a number with no more figures than its band supports (or `figures`, 4 by default, where none is known)."""
    if not math.isfinite(value):
        return "—"
    places = _decimals(value, band, figures)
    rounded = round(value, places)
    if rounded == 0:
        return "0"
    if not 1e-4 <= abs(rounded) < 1e9:
        digits = max(0, _decimals(rounded, band, figures) + math.floor(math.log10(abs(rounded))))
        head, _, exponent = f"{rounded:.{digits}e}".partition("e")
        return figures_of(f"{_trimmed(head, band)}e{exponent}")
    return figures_of(_trimmed(f"{rounded:.{max(0, min(places, 12))}f}", band))


def _trimmed(text: str, band: float | None) -> str:
    """Leave out closing noughts, unless a band says that they are known."""
    return text.rstrip("0").rstrip(".") if "." in text and not band else text


def show(
    value: float, kind: Kind, system: System | None = None, band: float | None = None, figures: int | None = None
) -> str:
    """Show an SI value to a person, with its unit: `show(0.0889, LENGTH, "inch")` is "3.5 in".

    system, band: those of whom it is written for (see `written_for`) unless given; metric by default.
    band: half-width of the value's band [SI]; no more figures are shown than it supports.
    """
    reader = _READER.get()
    if reader.is_absent:
        return ""
    unit = kind.unit_for(system)
    band = _resolved(reader.bands.get(value, 0.0) if band is None else band, kind)
    held = kind.from_si(_resolved(value, kind), unit)
    printed = unit_text(unit)
    shown = with_minus(number(held, kind.from_si(band, unit), figures or _sensible_figures(held, unit)))
    return shown + printed if printed == "°" else f"{shown} {printed}".rstrip()


def show_place(value: float, system: System | None = None) -> str:
    """Show a length [m] of a table of places to the last decimal that a workshop reads, or as its band supports.

    A place and its mirror image read alike: what is known of the one is known of the other.
    """
    reader = _READER.get()
    unit = LENGTH.unit_for(system or reader.system)
    band = reader.bands.get(value) or reader.bands.get(-value)
    held = abs(LENGTH.from_si(value, unit))
    whole = math.floor(math.log10(held)) + 1 if held else 0
    return show(value, LENGTH, system, band, figures=max(_FINEST[unit] + whole, 1))


# Decimals that a workshop reads on a length; finer ones only where fewer than two figures would be left.
_FINEST = {"mm": 3, "in": 4}


def _sensible_figures(value: float, unit: str) -> int:
    if unit not in _FINEST or not value or not math.isfinite(value):
        return DEFAULT_FIGURES
    return max(2, min(DEFAULT_FIGURES, _FINEST[unit] + 1 + math.floor(math.log10(abs(value)))))


def _resolved(value: float, kind: Kind) -> float:
    return 0.0 if abs(kind.from_si(value)) < kind.resolution else value

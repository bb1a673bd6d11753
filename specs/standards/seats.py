"""What the faces under a bolt's head bear and how far they settle: VDI 2230 tables A9 and 5."""

from dataclasses import dataclass
from functools import cache

from specs.standards.publications import Row, Source, load, megapascals, source_of


@dataclass(frozen=True)
class PressureLimit:
    """The limiting surface pressure [Pa] of a clamped material, cold, round a hole without chamfer."""

    material: str
    limit: float
    source: Source


@dataclass(frozen=True)
class Settling:
    """How far faces of a roughness Rz settle [m] under a shear load: the thread, each bearing face, each interface."""

    roughness: str
    thread: float
    bearing: float
    interface: float
    source: Source


def _limit(row: Row) -> PressureLimit:
    return PressureLimit(row["material"], megapascals(row["limit_mpa"]), source_of(row))


def _settling(row: Row) -> Settling:
    thread, bearing, interface = (float(f"{row[name]}e-6") for name in ("thread_um", "bearing_um", "interface_um"))
    return Settling(row["roughness"], thread, bearing, interface, source_of(row))


@cache
def pressure_limits() -> dict[str, PressureLimit]:
    """Return the limiting pressures by material.

    >>> pressure_limits()["6082-T6"].limit
    260000000.0
    """
    return {row.material: row for row in load("surface_pressures", _limit)}


@cache
def settlings() -> dict[str, Settling]:
    """Return what settles by roughness Rz.

    >>> settlings()["10 to 40 µm"].bearing
    4.5e-06
    """
    return {row.roughness: row for row in load("settling", _settling)}

"""Materials usual in plates, flywheels, shafts and housings, with the scatter of castings."""

from dataclasses import dataclass
from functools import cache

from specs.phrase import joined, phrase
from specs.standards.publications import Row, Source, load, megapascals, rows, source_of

# Shear over tensile strength where no source states shear: common practice, no source (von Mises gives 0.577).
SHEAR_SHARE = 0.6


class UnknownMaterial(ValueError):
    """A name that the table lacks; the words list the names."""


@dataclass(frozen=True)
class Material:
    """One material, SI, lowest guaranteed strengths first.

    density [kg/m³]; elastic_modulus [Pa]; poisson; expansion [1/K]; tensile_lowest Rm [Pa];
    tensile_highest [Pa]: upper end of the specified or usual range, None where the source states none;
    yield_lowest: ReH or Rp0.2 [Pa], None for grey iron, which breaks without yielding;
    shear_stated: shear strength by the source [Pa], or None.
    """

    name: str
    kind: str
    density: float
    elastic_modulus: float
    poisson: float
    expansion: float
    tensile_lowest: float
    tensile_highest: float | None
    yield_lowest: float | None
    shear_stated: float | None
    note: str
    source: Source

    @property
    def shear_lowest(self) -> float:
        """Shear strength [Pa]: as stated, else 0.6 of the lowest tensile strength (common practice, no source)."""
        return self.shear_stated or SHEAR_SHARE * self.tensile_lowest


def _material(row: Row) -> Material:
    return Material(
        name=row["name"],
        kind=row["kind"],
        density=float(row["density_kg_m3"]),
        elastic_modulus=float(f"{row['elastic_modulus_gpa']}e9"),
        poisson=float(row["poisson"]),
        expansion=float(f"{row['expansion_1e6_per_k']}e-6"),
        tensile_lowest=megapascals(row["tensile_lowest_mpa"]),
        tensile_highest=_optional_megapascals(row["tensile_highest_mpa"]),
        yield_lowest=_optional_megapascals(row["yield_lowest_mpa"]),
        shear_stated=_optional_megapascals(row["shear_lowest_mpa"]),
        note=row["note"],
        source=source_of(row),
    )


def _optional_megapascals(text: str) -> float | None:
    return megapascals(text) if text else None


@cache
def table() -> dict[str, Material]:
    """Return every material by name."""
    return {material.name: material for material in load("materials", _material)}


def find(name: str) -> Material:
    """Return a material by its name; raises UnknownMaterial.

    >>> find("EN-GJL-250").shear_lowest
    290000000.0
    """
    material = table().get(name)
    if material is None:
        raise UnknownMaterial(
            phrase("“{name}” is not in the table; there are {table}", name=name[:40], table=", ".join(table()))
        )
    return material


def shear_guide(*names: str) -> str:
    """Say the lowest shear strengths of materials, for the help of a form.

    >>> shear_guide("EN-GJL-250", "6061-T6")
    'EN-GJL-250 290, 6061-T6 207 MPa'
    """
    said = (
        phrase("{name} {strength}", name=phrase(name), strength=f"{find(name).shear_lowest / 1e6:.0f}")
        for name in names
    )
    return phrase("{materials} MPa", materials=joined(", ", said))


def iron_guide(wall: str) -> str:
    """Say what tensile strength to expect of grey iron in a wall [mm, as printed], for the help of a form: EN 1561.

    >>> iron_guide("20")
    'EN-GJL-150 110, EN-GJL-200 155, EN-GJL-250 195, EN-GJL-300 240 MPa'
    """
    of_wall = [row for row in rows("grey_iron_walls") if row["wall_mm"] == wall]
    return ", ".join(f"{row['grade']} {row['tensile_mpa']}" for row in of_wall) + " MPa"

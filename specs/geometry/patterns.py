"""One hole pattern laid on another: the best rigid motion, what is left over, whether the mirror image fits better."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, fsum, hypot, sin, sqrt
from typing import TYPE_CHECKING

from specs.geometry.points import Point, centroid, distance, mirrored, moved, turned
from specs.phrase import phrase

if TYPE_CHECKING:
    import numpy

MIRROR_SUSPECT = 3.0  # times better than the straight fit; common practice, no source


@dataclass(frozen=True)
class RigidFit:
    """A rotation [rad] about the origin, then a move, that lays the reference on the measured points.

    `misses` are the distances left over, in the points' order and unit.
    """

    dx: float
    dy: float
    rotation: float
    misses: tuple[float, ...]

    @property
    def rms(self) -> float:
        """Root mean square of what is left over."""
        return sqrt(fsum(miss**2 for miss in self.misses) / len(self.misses))

    def lay(self, point: Point) -> Point:
        """A point of the reference where it comes to lie among the measured."""
        return moved(turned(point, self.rotation), (self.dx, self.dy))


def rigid_fit(measured: Sequence[Point], reference: Sequence[Point]) -> RigidFit:
    """The rotation and move (no reflection) with the least sum of squared distances, points paired by order.

    In the plane the least-squares rotation has a closed form: tan θ = Σ(r × m) / Σ(r · m) over points taken from their
    centroids (W. Kabsch, Acta Crystallographica A32, 1976, for the general case; from memory). Where every rotation
    fits alike (a regular pattern against its mirror image) it is 0. ValueError where either set lies in one place.
    """
    (tx, ty), (ox, oy) = centroid(measured), centroid(reference)
    pairs = list(zip(reference, measured, strict=True))
    # Written out, as are the misses: bands lay four patterns on each other hundreds of times.
    arms = [(rx - ox, ry - oy, mx - tx, my - ty) for (rx, ry), (mx, my) in pairs]
    leaning, lying = fsum([x * v - y * u for x, y, u, v in arms]), fsum([x * u + y * v for x, y, u, v in arms])
    size = sqrt(fsum([x * x + y * y for x, y, _, _ in arms]) * fsum([u * u + v * v for _, _, u, v in arms]))
    if size == 0:
        raise ValueError(phrase("All points lie in one place: no rotation can be told."))
    rotation = atan2(leaning, lying) if hypot(leaning, lying) > 1e-12 * size else 0.0
    c, s = cos(rotation), sin(rotation)
    dx, dy = tx - (ox * c - oy * s), ty - (ox * s + oy * c)
    misses = [hypot(x * c - y * s + dx - u, x * s + y * c + dy - v) for (x, y), (u, v) in pairs]
    return RigidFit(dx, dy, rotation, tuple(misses))


def rigid_fits(measured: "numpy.ndarray", reference: "numpy.ndarray") -> "numpy.ndarray":
    """The same for many pairs of patterns, (pairs, points, 2) each; a row a pair: dx, dy, rotation, scale, every miss.

    Rotation and scale as `rigid_fit` and `scale_of` have them, not a number where a pattern lies in one place.
    """
    import numpy as np

    to, of = measured.mean(axis=1), reference.mean(axis=1)
    m, r = measured - to[:, None], reference - of[:, None]
    leaning = (r[..., 0] * m[..., 1] - r[..., 1] * m[..., 0]).sum(axis=1)
    lying, own = (r * m).sum(axis=(1, 2)), (r**2).sum(axis=(1, 2))
    pull, size = np.hypot(leaning, lying), np.sqrt(own * (m**2).sum(axis=(1, 2)))
    with np.errstate(all="ignore"):
        scale = np.where(size > 0, pull / own, np.nan)
    rotation = np.where(pull > 1e-12 * size, np.arctan2(leaning, lying), 0.0)
    cosine, sine = np.cos(rotation)[:, None], np.sin(rotation)[:, None]
    laid = np.stack([r[..., 0] * cosine - r[..., 1] * sine, r[..., 0] * sine + r[..., 1] * cosine], axis=2)
    dx = to[:, 0] - of[:, 0] * cosine[:, 0] + of[:, 1] * sine[:, 0]
    dy = to[:, 1] - of[:, 0] * sine[:, 0] - of[:, 1] * cosine[:, 0]
    misses = np.hypot(*(laid - m).transpose(2, 0, 1))
    return np.column_stack([dx, dy, rotation, scale, misses])


def scale_of(measured: Sequence[Point], reference: Sequence[Point]) -> float:
    """How many times as large the measured pattern is: that scale which lets a turned and moved reference fit best.

    Least squares again: √((Σ r · m)² + (Σ r × m)²)/Σ r² over arms from the centroids. ValueError where the reference
    lies in one place.
    """
    (tx, ty), (ox, oy) = centroid(measured), centroid(reference)
    pairs = zip(reference, measured, strict=True)
    arms = [(rx - ox, ry - oy, mx - tx, my - ty) for (rx, ry), (mx, my) in pairs]
    size = fsum([x * x + y * y for x, y, _, _ in arms])
    if size == 0:
        raise ValueError(phrase("All points lie in one place: no scale can be told."))
    return hypot(fsum([x * v - y * u for x, y, u, v in arms]), fsum([x * u + y * v for x, y, u, v in arms])) / size


def scaled_rms(measured: Sequence[Point], reference: Sequence[Point]) -> float:
    """What is left over where the reference may be scaled as well."""
    scale = scale_of(measured, reference)
    if scale <= 1e-9:  # Shrunk to a point, which fits as the centroid does: a regular pattern against its mirror image.
        return hypot(*off_line(measured))
    return rigid_fit(measured, [(x * scale, y * scale) for x, y in reference]).rms


def mirror_fit(measured: Sequence[Point], reference: Sequence[Point]) -> RigidFit:
    """The fit of the reference as seen from its other side."""
    return rigid_fit(measured, [mirrored(point) for point in reference])


def off_line(points: Sequence[Point]) -> tuple[float, float]:
    """Root mean square distances of points across and along the straight line that fits them best."""
    middle_x, middle_y = centroid(points)
    arms = [(x - middle_x, y - middle_y) for x, y in points]
    xx, yy = fsum([x * x for x, _ in arms]), fsum([y * y for _, y in arms])
    axis = atan2(2 * fsum([x * y for x, y in arms]), xx - yy) / 2
    c, s = cos(axis), sin(axis)
    across, along = fsum([(y * c - x * s) ** 2 for x, y in arms]), fsum([(x * c + y * s) ** 2 for x, y in arms])
    return sqrt(across / len(points)), sqrt(along / len(points))


def in_line(points: Sequence[Point], tolerance: float = 1e-9) -> bool:
    """Whether all points lie on one line (or in one place), to a share of their spread."""
    across, along = off_line(points)
    return across <= tolerance * along


def looks_mirrored(measured: Sequence[Point], reference: Sequence[Point]) -> bool:
    """Whether the mirror image fits several times better: the pattern was read from the other side.

    Points in line, or fewer than three, look the same from both sides and are never suspected.
    """
    if len(measured) < 3 or in_line(reference) or in_line(measured):
        return False
    return mirror_slack(measured, rigid_fit(measured, reference).rms, mirror_fit(measured, reference).rms) < 0


def mirror_slack(measured: Sequence[Point], straight: float, other: float) -> float:
    """How much more the fit as entered may leave [the points' unit] before the mirror image is to be suspected.

    straight, other: what the fit as entered and the mirror image leave over, root mean square.
    """
    spread = max(distance(measured[0], point) for point in measured)
    return max(MIRROR_SUSPECT * other, 1e-9 * spread) - straight

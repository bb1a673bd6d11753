"""Coordinates of holes from measured centre distances, by least squares, with the uncertainty of each and a suspect."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from specs.geometry.points import Point, between, turned
from specs.geometry.rigidity import fold, loose_points, unchecked
from specs.geometry.spacing_starts import starts
from specs.phrase import phrase

if TYPE_CHECKING:
    import numpy

MOST_HOLES = 60
SUSPECT = 3.29  # normalised residual that 1 good reading in 1000 exceeds (W. Baarda, 1968; from memory)
# Readings whose residuals hang together this closely fail together: nothing tells which of them is wrong.
INSEPARABLE = 0.95
WIDENING = 1.959963984540054  # half a 95 % interval over its standard uncertainty
_TIGHT = {"ftol": 1e-12, "xtol": 1e-12, "gtol": 1e-12}
_HOPELESS = 100  # misfit over spare readings: 10 times what the uncertainties allow


@dataclass(frozen=True)
class Spacing:
    """A measured distance of two hole centres with its standard uncertainty, in one unit."""

    first: str
    second: str
    distance: float
    sigma: float


@dataclass(frozen=True)
class Frame:
    """The datum by holes: the origin, the hole that x runs to, and a hole that lies above that line."""

    origin: str
    along: str
    above: str


@dataclass(frozen=True)
class Coordinates:
    """Places, standard uncertainties (x, y), residuals (measured less fitted) and normalised residuals by spacing.

    A normalised residual is None where nothing else checks the reading. `suspect` is the number of the spacing that
    fits worst, where that is worse than chance would have it; `alike` are those that may be wrong in its stead, it
    among them, by the correlation of their residuals (W. Förstner, 1983; from memory).
    """

    places: Mapping[str, Point]
    sigmas: Mapping[str, Point]
    residuals: tuple[float, ...]
    normalised: tuple[float | None, ...]
    suspect: int | None
    alike: tuple[int, ...]

    def interval(self, name: str) -> Point:
        """Half the 95 % interval of a hole's x and y."""
        sx, sy = self.sigmas[name]
        return sx * WIDENING, sy * WIDENING


def solve_spacings(spacings: Sequence[Spacing], frame: Frame, rough: Mapping[str, Point] | None = None) -> Coordinates:
    """Place every hole so that the distances fit best, each weighted by its own uncertainty.

    `rough` places, read off a sketch, settle which of several shapes is meant. ValueError, in words that name the
    holes, where the distances leave a hole loose, or allow another shape and no rough places were given.
    """
    problem = _Problem.of(spacings, frame)
    problem.demand_held()
    if rough is None:
        problem.demand_one_shape()
    places = problem.best(rough)
    answer = problem.answer(places)
    problem.demand_fit(places, answer.suspect)
    return answer


@dataclass(frozen=True)
class _Problem:
    spacings: Sequence[Spacing]
    frame: Frame
    names: tuple[str, ...]
    pairs: tuple[tuple[int, int], ...]

    @classmethod
    def of(cls, spacings: Sequence[Spacing], frame: Frame) -> "_Problem":
        names = tuple(dict.fromkeys(name for s in spacings for name in (s.first, s.second)))
        if len(names) > MOST_HOLES:
            raise ValueError(
                phrase(
                    "There are {names} holes; up to {MOST_HOLES} are worked out at a time.",
                    names=len(names),
                    MOST_HOLES=MOST_HOLES,
                )
            )
        for s in spacings:
            if s.first == s.second:
                raise ValueError(phrase('"{first}" is measured to itself: a distance needs two holes.', first=s.first))
            if not (s.distance > 0 and s.sigma > 0):
                raise ValueError(
                    phrase(
                        '"{first}" to "{second}": distance and uncertainty must be above 0.',
                        first=s.first,
                        second=s.second,
                    )
                )
        for name in (frame.origin, frame.along, frame.above):
            if name not in names:
                raise ValueError(phrase('No distance to "{name}" was measured, which the datum needs.', name=name))
        if len({frame.origin, frame.along, frame.above}) < 3:
            raise ValueError(
                phrase("The datum needs three different holes: the origin, one along x, and one above that line.")
            )
        return cls(spacings, frame, names, tuple((names.index(s.first), names.index(s.second)) for s in spacings))

    def _listed(self, points: Sequence[int]) -> str:
        return ", ".join(self.names[k] for k in points)

    def demand_held(self) -> None:
        origin, along = self.names.index(self.frame.origin), self.names.index(self.frame.along)
        loose = loose_points(len(self.names), self.pairs, origin, along)
        if loose:
            raise ValueError(
                phrase(
                    "Not tied down by these distances: {listed}. Measure more to these holes.",
                    listed=self._listed(loose),
                )
            )

    def demand_one_shape(self) -> None:
        count = len(self.names)
        folded = fold(count, self.pairs) if count > 3 else None
        if folded:
            (a, b), part = folded
            raise ValueError(
                phrase(
                    "{listed} could lie on either side of the line from {names} to {names_2}: "
                    "measure one more distance across that line, or say roughly where the holes lie.",
                    listed=self._listed(part),
                    names=self.names[a],
                    names_2=self.names[b],
                )
            )
        lone = unchecked(count, self.pairs) if count > 3 else ()
        if lone:
            s = self.spacings[lone[0]]
            raise ValueError(
                phrase(
                    "These distances allow more than one shape: nothing checks {first} to {second}. "
                    "Measure one more distance, or say roughly where the holes lie.",
                    first=s.first,
                    second=s.second,
                )
            )

    def best(self, rough: Mapping[str, Point] | None) -> "numpy.ndarray":
        """Places in the datum's frame at the best fit that the starts lead to."""
        import numpy as np

        if rough is not None:
            missing = [name for name in self.names if name not in rough]
            if missing:
                raise ValueError(phrase("The rough places lack {missing}.", missing=", ".join(missing)))
            return self._fitted(np.array([rough[name] for name in self.names], dtype=float))
        lengths = {pair: s.distance for pair, s in zip(self.pairs, self.spacings, strict=True)}
        found: list[numpy.ndarray] = []
        for start in starts(len(self.names), lengths):
            found.append(self._fitted(start))
            if self._misfit(found[-1]) <= max(4 * self._spare, 1e-6):
                break
        return min(found, key=self._misfit)

    @property
    def _spare(self) -> int:
        """How many more readings there are than the shape needs."""
        return len(self.pairs) - 2 * len(self.names) + 3

    def demand_fit(self, places: "numpy.ndarray", suspect: int | None) -> None:
        """Refuse readings that disagree by far more than they claim, even without the one that fits worst."""
        if suspect is None or self._misfit(places) <= _HOPELESS * max(self._spare, 1):
            return
        kept = [k for k in range(len(self.spacings)) if k != suspect]
        without = replace(self, spacings=[self.spacings[k] for k in kept], pairs=tuple(self.pairs[k] for k in kept))
        if without._misfit(without._fitted(places)) > _HOPELESS * max(self._spare - 1, 1):
            s = self.spacings[suspect]
            raise ValueError(
                phrase(
                    "These distances do not fit together, even without {first} to {second}, which fits worst. Is one "
                    "in another unit, taken between other holes, or over the wall instead of over the far edges?",
                    first=s.first,
                    second=s.second,
                )
            )

    def _model(self, unknowns: "numpy.ndarray") -> tuple["numpy.ndarray", "numpy.ndarray"]:
        """Weighted residuals and their slopes by the coordinates that the datum leaves free."""
        import numpy as np

        places = self._places(unknowns)
        first, second = (np.array(side) for side in zip(*self.pairs, strict=True))
        runs = places[second] - places[first]
        lengths = np.maximum(np.hypot(*runs.T), 1e-15)
        sigma = np.array([s.sigma for s in self.spacings])
        ways = runs / (lengths * sigma)[:, None]
        slopes = np.zeros((len(self.pairs), 2 * len(self.names)))
        rows = np.arange(len(self.pairs))
        for side, point in ((-1, first), (1, second)):
            slopes[rows, 2 * point] += side * ways[:, 0]
            slopes[rows, 2 * point + 1] += side * ways[:, 1]
        return (lengths - [s.distance for s in self.spacings]) / sigma, slopes[:, self._free()]

    def _free(self) -> list[int]:
        """Coordinates that the datum does not fix: all but the origin's two and the along-hole's y."""
        origin, along = self.names.index(self.frame.origin), self.names.index(self.frame.along)
        return [k for k in range(2 * len(self.names)) if k not in (2 * origin, 2 * origin + 1, 2 * along + 1)]

    def _places(self, unknowns: "numpy.ndarray") -> "numpy.ndarray":
        import numpy as np

        held = np.zeros(2 * len(self.names))
        held[self._free()] = unknowns
        return held.reshape(-1, 2)

    def _fitted(self, start: "numpy.ndarray") -> "numpy.ndarray":
        from scipy.optimize import least_squares

        begun = self._framed(start).ravel()[self._free()]
        best = least_squares(
            lambda at: self._model(at)[0], begun, lambda at: self._model(at)[1], method="lm", x_scale="jac", **_TIGHT
        )
        return self._framed(self._places(best.x))

    def _framed(self, places: "numpy.ndarray") -> "numpy.ndarray":
        """The same shape, origin and x axis as the datum wants, turned over where the above-hole lies below."""
        import numpy as np

        origin, along, above = (self.names.index(n) for n in (self.frame.origin, self.frame.along, self.frame.above))
        run = places[along] - places[origin]
        angle = -float(np.arctan2(run[1], run[0]))
        laid = np.array([turned(between(tuple(places[origin]), tuple(p)), angle) for p in places])
        return laid if laid[above, 1] >= 0 else laid * [1, -1]

    def _misfit(self, places: "numpy.ndarray") -> float:
        residuals = self._model(places.ravel()[self._free()])[0]
        return float(residuals @ residuals)

    def answer(self, places: "numpy.ndarray") -> Coordinates:
        import numpy as np

        residuals, slopes = self._model(places.ravel()[self._free()])
        sizes, ways = np.linalg.eigh(slopes.T @ slopes)
        if sizes[0] <= 1e-9 * sizes[-1]:
            moving = self._places(ways[:, 0])
            loose = [k for k, move in enumerate(np.abs(moving).max(axis=1)) if move > 0.1 * np.abs(moving).max()]
            raise ValueError(
                phrase(
                    "{listed}: hardly tied down, these distances run nearly in one line.", listed=self._listed(loose)
                )
            )
        spread = (ways / sizes) @ ways.T
        sigmas = np.zeros(2 * len(self.names))
        sigmas[self._free()] = np.sqrt(np.diag(spread))
        cofactors = np.eye(len(residuals)) - slopes @ spread @ slopes.T
        share = np.diag(cofactors)
        normalised = [float(r / np.sqrt(s)) if s > 1e-6 else None for r, s in zip(-residuals, share, strict=True)]
        worst = max(range(len(normalised)), key=lambda k: abs(normalised[k] or 0.0))
        return Coordinates(
            {name: (float(x), float(y)) for name, (x, y) in zip(self.names, places, strict=True)},
            {name: (float(x), float(y)) for name, (x, y) in zip(self.names, sigmas.reshape(-1, 2), strict=True)},
            tuple(-float(r) * s.sigma for r, s in zip(residuals, self.spacings, strict=True)),
            tuple(normalised),
            worst if abs(normalised[worst] or 0.0) > SUSPECT else None,
            _alike(cofactors, worst) if abs(normalised[worst] or 0.0) > SUSPECT else (),
        )


def _alike(cofactors: "numpy.ndarray", worst: int) -> tuple[int, ...]:
    """The readings whose residuals rise and fall with that of the worst."""
    import numpy as np

    share = np.maximum(np.diag(cofactors), 1e-12)
    together = np.abs(cofactors[worst]) / np.sqrt(share * share[worst])
    return tuple(int(k) for k in np.flatnonzero(together >= INSEPARABLE))

"""One joint at many readings at once: what bands ask of `bolt-group` hundreds of times. SI throughout."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from specs.geometry.slip_centre import least_slips
from specs.joints.bolted import Joint, area_of

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray

# Two bolts nearer than this [m] at any of the readings: to be looked at singly.
_NEAR = 1e-5


@dataclass(frozen=True)
class Members:
    """Bolts or dowels at many readings: places (joints, members, 2) and areas (joints, members)."""

    places: Array
    areas: Array

    @classmethod
    def of(cls, joints: Sequence[Sequence[object]]) -> Members:
        """Gather members that differ from joint to joint in their numbers alone."""
        import numpy as np

        places = np.array([[(member.x, member.y) for member in members] for members in joints])  # type: ignore[attr-defined]
        # Areas of one size, or of a thread, move with no reading: they are asked for once.
        stand = all(getattr(member, "diameter", None) is None and member.area is None for member in joints[0])  # type: ignore[attr-defined]
        those = joints[:1] if stand else joints
        areas = np.array([[area_of(member) for member in members] for members in those])  # type: ignore[arg-type]
        return cls(places, np.broadcast_to(areas, places.shape[:2]))

    @cached_property
    def middles(self) -> Array:
        """Weighted middle of each joint: (joints, 2)."""
        return (self.areas[..., None] * self.places).sum(axis=1) / self.areas.sum(axis=1)[:, None]

    @cached_property
    def offsets(self) -> Array:
        """Each member from the middle: (joints, members, 2)."""
        return self.places - self.middles[:, None]

    @cached_property
    def radii(self) -> Array:
        """Each member's distance from the middle."""
        import numpy as np

        return np.hypot(self.offsets[..., 0], self.offsets[..., 1])

    @cached_property
    def stiffness(self) -> Array:
        """Σ A r² of each joint."""
        return (self.areas * self.radii**2).sum(axis=1)

    @property
    def are_apart(self) -> bool:
        """Whether no two members come near each other at any reading."""
        import numpy as np

        run = self.places[:, :, None] - self.places[:, None]
        apart = np.hypot(run[..., 0], run[..., 1]) + np.eye(run.shape[1])
        return bool(apart.min() > _NEAR)


@dataclass(frozen=True)
class ManyJoints:
    """Joints of the same bolts and dowels on which nothing hangs."""

    joints: Sequence[Joint]

    @cached_property
    def bolts(self) -> Members:
        """The bolts in use."""
        return Members.of([joint.bolts for joint in self.joints])

    @cached_property
    def _loads(self) -> Array:
        import numpy as np

        return np.array([(joint.torque, *joint.force) for joint in self.joints])

    @cached_property
    def shears(self) -> Array:
        """Shear on each bolt [N] without friction, by the elastic method: (joints, bolts)."""
        import numpy as np

        torque, right, up = (self._loads[:, at, None] for at in range(3))
        x, y = self.bolts.middles[:, :1], self.bolts.middles[:, 1:]
        turn = (torque - x * up + y * right) / self.bolts.stiffness[:, None]
        share = 1 / self.bolts.areas.sum(axis=1)[:, None]
        x, y = self.bolts.offsets[..., 0], self.bolts.offsets[..., 1]
        return self.bolts.areas * np.hypot(share * right - turn * y, share * up + turn * x)

    @cached_property
    def dowel_stresses(self) -> Array:
        """Shear stress in each dowel [Pa] with all of the torque on them: (joints, dowels)."""
        import numpy as np

        if not self.joints[0].dowels:
            return np.zeros((len(self.joints), 0))
        dowels = Members.of([joint.dowels for joint in self.joints])
        return np.abs(self._loads[:, :1]) * dowels.radii / dowels.stiffness[:, None]

    @cached_property
    def friction_torques(self) -> list[float]:
        """The torque alone that makes each slip [N·m]."""
        import numpy as np

        return self._slips(np.ones(len(self.joints)), np.zeros((len(self.joints), 2)))

    @property
    def slip_factors(self) -> list[float]:
        """How many times its loads make each slip."""
        loads = self._loads
        if not loads[:, 1:].any():
            return [
                most / abs(torque) for most, torque in zip(self.friction_torques, loads[:, 0].tolist(), strict=True)
            ]
        return self._slips(loads[:, 0], loads[:, 1:])

    def _slips(self, torques: Array, forces: Array) -> list[float]:
        import numpy as np

        frictions = np.array([[joint.mu * bolt.preload for bolt in joint.bolts] for joint in self.joints])
        return least_slips(self.bolts.places, frictions, torques, forces)

    @property
    def peaks(self) -> list[int]:
        """The most loaded bolt of each by its place; of equals, the first."""
        shears = self.shears
        return (shears >= shears.max(axis=1)[:, None] * (1 - 1e-9)).argmax(axis=1).tolist()

    @property
    def bearings(self) -> list[float | None]:
        """The greatest pressure of a dowel on the softer part [Pa], of those whose length is given."""
        pressures = [
            [dowel.bearing(stress) for dowel, stress in zip(joint.dowels, stresses, strict=True) if dowel.length]
            for joint, stresses in zip(self.joints, self.dowel_stresses.tolist(), strict=True)
        ]
        return [max((one for one in those if one is not None), default=None) for those in pressures]

    @property
    def are_plain(self) -> bool:
        """Whether nothing hangs on any, each is loaded, and no two members come near each other."""
        import numpy as np

        hangs = any(joint.weight for joint in self.joints)
        if hangs or not np.any(self._loads, axis=1).all():
            return False
        dowels = [joint.dowels for joint in self.joints]
        return self.bolts.are_apart and (not dowels[0] or Members.of(dowels).are_apart)


def peak_shears(many: ManyJoints) -> list[float]:
    """The shear on the most loaded bolt of each [N]."""
    return [float(math.fabs(row[at])) for row, at in zip(many.shears.tolist(), many.peaks, strict=True)]

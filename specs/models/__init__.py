"""The driveline knowledge on record: components, readings, hole patterns, mating features, torque specs."""

from specs.models.base import Deletable, DeletableQuerySet, Stale, Versioned
from specs.models.mating import FeatureSize, MatingFeature
from specs.models.measuring import (
    Component,
    Dimension,
    Measurement,
    Specimen,
    WorkingValue,
    reading_origin,
    working_value,
    working_value_of,
)
from specs.models.patterns import Hole, HolePattern
from specs.models.torque import TorqueSpec

__all__ = [
    "Deletable",
    "DeletableQuerySet",
    "Component",
    "Dimension",
    "FeatureSize",
    "Hole",
    "HolePattern",
    "MatingFeature",
    "Measurement",
    "Specimen",
    "Stale",
    "TorqueSpec",
    "Versioned",
    "WorkingValue",
    "reading_origin",
    "working_value",
    "working_value_of",
]

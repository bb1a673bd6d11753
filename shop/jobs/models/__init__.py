from .job import Beside, Decision, Job, JobTorque
from .lesson import Lesson
from .proof import Approval, RegulatedItem, SignOff
from .route import Route, RouteNeed, RoutePart, RouteStep
from .step import PartNeed, Step, StepNeed
from .work import Spell

__all__ = [
    "Approval",
    "Beside",
    "Decision",
    "Job",
    "JobTorque",
    "Lesson",
    "PartNeed",
    "RegulatedItem",
    "Route",
    "RouteNeed",
    "RoutePart",
    "RouteStep",
    "SignOff",
    "Spell",
    "Step",
    "StepNeed",
]

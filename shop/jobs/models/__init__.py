from .job import Decision, Job, JobTorque, SetAside
from .lesson import Lesson
from .proof import Approval, RegulatedItem, SignOff
from .step import PartNeed, Step, StepNeed
from .template import JobTemplate, TemplateNeed, TemplatePart, TemplateStep
from .time_entry import TimeEntry

__all__ = [
    "Approval",
    "SetAside",
    "Decision",
    "Job",
    "JobTorque",
    "Lesson",
    "PartNeed",
    "RegulatedItem",
    "JobTemplate",
    "TemplateNeed",
    "TemplatePart",
    "TemplateStep",
    "SignOff",
    "TimeEntry",
    "Step",
    "StepNeed",
]

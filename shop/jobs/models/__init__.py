from .job import Decision, GuardChange, Job, JobTorque, Outcome, SetAside, TorqueTie
from .lesson import Lesson
from .proof import Approval, RegulatedItem, SignOff
from .step import PartNeed, RequiredCheck, Step, StepNeed, StepOverride
from .template import JobTemplate, TemplateCheck, TemplateNeed, TemplatePart, TemplateStep
from .time_entry import TimeEntry

__all__ = [
    "Approval",
    "SetAside",
    "Decision",
    "GuardChange",
    "Job",
    "JobTorque",
    "Lesson",
    "Outcome",
    "RequiredCheck",
    "StepOverride",
    "TemplateCheck",
    "TorqueTie",
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

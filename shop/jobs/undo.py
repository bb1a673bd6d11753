from shop.base.undo import Undo
from shop.jobs.models import Job, JobTemplate, Lesson, Step

UNDO = [
    Undo(Job, "jobs.manage"),
    Undo(Step, "jobs.manage"),
    Undo(JobTemplate, "jobs.templates"),
    Undo(Lesson, "jobs.learn"),
]

from shop.base.undo import Undo
from shop.jobs.models import Job, JobTemplate, Lesson

UNDO = [Undo(Job, "jobs.manage"), Undo(JobTemplate, "jobs.templates"), Undo(Lesson, "jobs.learn")]

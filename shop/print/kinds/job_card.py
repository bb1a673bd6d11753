"""The card of a job, for the bench."""

from shop.base.language import gettext_lazy
from shop.jobs.models import Job
from shop.print.card_facts import JobFacts
from shop.print.job_facts import read_job
from shop.print.kinds import SheetKind

KIND = SheetKind(
    name="job-card",
    title=gettext_lazy("Job card"),
    prefix="J",
    subject="job",
    model=Job,
    facts=JobFacts,
    read=read_job,
    drawn_by="shop.print.job_story.job_card",
)

from shop.base.search import Searched
from shop.jobs.models import Job, Lesson

SEARCHED = [
    Searched(
        "Jobs",
        20,
        lambda text: Job.objects.search(text).select_related("vehicle"),
        note=lambda job: str(job.vehicle),
    ),
    Searched("Lessons", 60, lambda text: Lesson.objects.search(text)),
]

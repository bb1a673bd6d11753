from shop.jobs.models import Job, Lesson
from shop.ui.searching import Searched

SEARCHED = [
    Searched(
        "Jobs",
        20,
        lambda text: Job.objects.standing().search(text).select_related("vehicle"),
        note=lambda job: str(job.vehicle),
    ),
    Searched("Lessons", 60, lambda text: Lesson.objects.standing().search(text)),
]

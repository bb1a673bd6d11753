from shop.base.menu import Entry

MENU = [
    Entry("Jobs", "jobs:jobs", "Jobs", order=10),
    Entry("Steps", "jobs:steps", "Jobs", order=30),
    Entry("Parts needed", "jobs:parts", "Jobs", order=35),
    Entry("Job templates", "jobs:templates", "Jobs", order=50),
    Entry("Lessons", "jobs:lessons", "Jobs", order=60),
]

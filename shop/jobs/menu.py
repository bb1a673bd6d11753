from shop.base.menu import Entry

MENU = [
    Entry("Jobs", "jobs:jobs", "Jobs", order=10),
    Entry("Job templates", "jobs:templates", "Jobs", order=50),
    Entry("Lessons", "jobs:lessons", "Jobs", order=60),
]

from shop.base.menu import Entry

MENU = [
    Entry("Jobs", "jobs:jobs", order=10),
    Entry("Job templates", "jobs:templates", order=60),
    Entry("Lessons", "jobs:lessons", order=65),
]

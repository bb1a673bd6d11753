from shop.base.menu import Entry

MENU = [
    Entry("Jobs", "jobs:jobs", order=10),
    Entry("Routes", "jobs:templates", order=60),
    Entry("Lessons", "jobs:lessons", order=65),
]

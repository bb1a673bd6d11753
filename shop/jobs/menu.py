from shop.base.language import gettext_lazy
from shop.base.menu import Entry

MENU = [
    Entry(gettext_lazy("Jobs"), "jobs:jobs", gettext_lazy("Jobs"), order=10),
    Entry(gettext_lazy("Steps"), "jobs:steps", gettext_lazy("Jobs"), order=30),
    Entry(gettext_lazy("Parts needed"), "jobs:parts", gettext_lazy("Jobs"), order=35),
    Entry(gettext_lazy("Job templates"), "jobs:templates", gettext_lazy("Jobs"), order=50),
    Entry(gettext_lazy("Lessons"), "jobs:lessons", gettext_lazy("Jobs"), order=60),
]

"""The shop's own settings with Django's admin beside it, whose list of orders is what ours is measured against."""

from shop.settings import *  # noqa: F403
from shop.settings import INSTALLED_APPS as OURS

INSTALLED_APPS = [*OURS, "django.contrib.admin"]
ROOT_URLCONF = "tests.benchmarks.urls"
ALLOWED_HOSTS = ["testserver"]

"""The shop's own settings in local mode, with passwords cheap enough for a test."""

import os

os.environ.setdefault("SHOP_LOCAL", "1")

from shop.settings import *  # noqa: E402, F403

# The second one knows the passwords of a database that a site made, such as the demo's.
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.MD5PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
MAILERS = {"default": {"BACKEND": "django.core.mail.backends.locmem.EmailBackend"}}
LONG_WORK_IN_THREADS = False

"""Settings, all from the environment; README.md lists every name.

Three ways to run, and only the first opens the door to other machines:

production   nothing set: SHOP_SECRET_KEY and SHOP_HOSTS are demanded, debug is refused
local        SHOP_LOCAL=1 (what manage.py and the tests use): this machine only, key kept in the data folder
debug        SHOP_DEBUG=1: local, with Django's debug pages
"""

import os
from pathlib import Path
from typing import Any

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from shop import __version__, environment
from shop.serving.request_log import logging_of

VERSION = __version__
BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("SHOP_DATA", BASE_DIR / ".data"))

DEBUG = environment.switch("SHOP_DEBUG", default=False)
LOCAL = DEBUG or environment.switch("SHOP_LOCAL", default=False)
PRODUCTION = not LOCAL

if PRODUCTION:
    SECRET_KEY = environment.production_key()
    # A monitor on the box itself asks /health/ by the machine's own name.
    ALLOWED_HOSTS = [*environment.words("SHOP_HOSTS"), "127.0.0.1", "localhost"]
else:
    SECRET_KEY = environment.local_key(DATA_DIR)
    ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]

INSTALLED_APPS = [
    "shop.apps.ShopConfig",
    "shop.demo",
    "shop.serving",
    "shop.home",
    "shop.print",
    "shop.planning",
    "shop.payables",
    "shop.replies",
    "shop.attachments",
    "shop.orders",
    "shop.stock",
    "shop.jobs",
    "shop.plate",
    "shop.torque",
    "shop.worksheets",
    "shop.vehicles",
    "shop.measuring",
    "shop.calculate",
    "shop.people",
    "shop.copies",
    "shop.base",
    "specs",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "django_tables2",
    "django_filters",
    "simple_history",
    "csp",
    "axes",
]

MIDDLEWARE = [
    "shop.serving.request_log.RequestLog",
    "shop.base.middleware.TrustProxy",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    # The length of a compressed page can tell a secret that stands in it, asked often enough (BREACH). The token of a
    # form is masked anew for each answer, the middleware adds bytes at random, a calendar’s link is shown only once.
    "django.middleware.gzip.GZipMiddleware",
    "csp.middleware.CSPMiddleware",
    "shop.base.same_page.SamePage",
    "shop.base.middleware.RefuseUnprintable",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shop.base.middleware.LimitBody",
    "shop.base.middleware.KeepInterruptedForm",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "shop.people.middleware.reader",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "shop.base.middleware.ExplainStale",
    "shop.base.middleware.ExplainUnwritable",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.base.menu.page_frame",
            ],
            "builtins": ["django.templatetags.i18n", "shop.base.templatetags.base"],
        },
    }
]

# --- Data -------------------------------------------------------------------------------------------------------------

# Requests are not one transaction each: with IMMEDIATE every page, even one that only reads, would then queue for
# SQLite's single write lock. Each operation in a changes.py opens its own transaction instead.
ATOMIC_REQUESTS = False

SQLITE_OPTIONS = {
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    # Each thread keeps a connection: by SQLite's own 2 MB of pages each a process held 8 MB more after years, and made
    # no page sooner, for the system keeps the file as well.
    "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA cache_size=-512;",
    # Each of six threads keeps a connection, and a prepared question is 15 KB: Python's own 128 were 2 MB a thread.
    "cached_statements": 48,
}

# A thread keeps its connection from one request to the next: opening one costs as much as a small page.
CONNECTION_KEPT_FOR = 600  # seconds
DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{DATA_DIR / 'shop.sqlite3'}", conn_max_age=CONNECTION_KEPT_FOR, conn_health_checks=True
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"].setdefault("OPTIONS", {}).update(SQLITE_OPTIONS)
    environment.keep_to_owner(Path(DATABASES["default"]["NAME"]))

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
MEDIA_ROOT = DATA_DIR / "files"
FILE_UPLOAD_PERMISSIONS, FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o600, 0o700
# Where copies go that are not told otherwise; another disk than the data's, where there is one.
SHOP_COPIES = Path(os.environ.get("SHOP_COPIES", DATA_DIR / "copies"))

# --- Who may come in --------------------------------------------------------------------------------------------------

AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "shop.people.known.KnownPersons"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "people:sign-in"
LOGIN_REDIRECT_URL = "home:today"
LOGOUT_REDIRECT_URL = "people:sign-in"

# Who is shut out, and for how long, is decided in shop/people/tries.py; axes counts and keeps.
AXES_HANDLER = "shop.people.tries.TriesHandler"
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25  # hours
# Trying on while shut out must not keep a name shut for ever.
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_RESET_ON_SUCCESS = True
AXES_CLIENT_IP_CALLABLE = "shop.base.middleware.client_address"
AXES_LOCKOUT_CALLABLE = "shop.people.views.sign_in.locked_out"
AXES_VERBOSE = False

# The programs in front that encrypt: only what comes from these addresses is believed about who asks.
BEHIND_PROXY = environment.switch("SHOP_BEHIND_PROXY", default=False)
SHOP_PROXIES = (environment.words("SHOP_PROXIES") or ["127.0.0.1", "::1"]) if BEHIND_PROXY else []
SHOP_BIND = os.environ.get("SHOP_BIND", "127.0.0.1:8000" if BEHIND_PROXY else "0.0.0.0:8000")

# --- What a browser is told -------------------------------------------------------------------------------------------

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"

# A shop's box on plain http says so with SHOP_HTTPS=0; a cookie marked secure would never come back there.
HTTPS = environment.switch("SHOP_HTTPS", default=PRODUCTION)
SECURE_SSL_REDIRECT = HTTPS
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_HTTPONLY = True
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
CSRF_TRUSTED_ORIGINS = environment.words("SHOP_ORIGINS")
# The health address holds nothing secret, and a monitor on the box asks without https.
SECURE_REDIRECT_EXEMPT = ["^health/$"]
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
# One host on an intranet: it speaks neither for its neighbours' names nor to a browser maker's list.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]

SESSION_ENGINE = "shop.people.known"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14
CSRF_FAILURE_VIEW = "shop.base.error_pages.csrf_failure"
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
# Rows pasted from a sheet: a thousand of them with their units and choices.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 10_000

# --- Words, numbers, time ---------------------------------------------------------------------------------------------

LANGUAGE_CODE = "en-gb"
USE_I18N = True
USE_TZ = True
TIME_ZONE = os.environ.get("SHOP_TIME_ZONE", "UTC")
FORMAT_MODULE_PATH = "shop.base.formats"

# Whose public holidays the shop keeps: ISO 3166 codes, e.g. DE and BY. Empty: weekends only.
SHOP_COUNTRY = os.environ.get("SHOP_COUNTRY", "")
SHOP_REGION = os.environ.get("SHOP_REGION", "")
SHOP_DAY_HOURS = environment.number("SHOP_DAY_HOURS", default="8", least=0.5, most=24)
SHOP_CURRENCY = environment.currency("SHOP_CURRENCY", default="EUR")
# In letters, in mail, on the pages of whoever did not choose otherwise.
SHOP_DECIMAL_MARK = environment.one_of("SHOP_DECIMAL_MARK", {"point": ".", "comma": ","}, default="point")
SHOP_DATE_FORM = environment.one_of("SHOP_DATE_FORM", environment.DATE_FORMS, default="name")
# What a new order starts with; each order keeps its own rate, so that another one by law leaves past orders alone.
SHOP_TAX_PERCENT = environment.percent("SHOP_TAX_PERCENT", default="0")
# Off in the tests, whose transactions no other thread would see.
LONG_WORK_IN_THREADS = True
SHOP_NAME = os.environ.get("SHOP_NAME", "Driveline workshop")
# What a letter carries: street and town, the way to reach the shop, what the law wants at its foot.
SHOP_POSTAL_ADDRESS = environment.words("SHOP_POSTAL_ADDRESS")
SHOP_REACHED_BY = environment.words("SHOP_REACHED_BY")
SHOP_LETTER_FOOT = os.environ.get("SHOP_LETTER_FOOT", "")
# The address in the code on paper; without it that of the page that printed it.
SHOP_ADDRESS = os.environ.get("SHOP_ADDRESS", "").rstrip("/")
# --- Mail -------------------------------------------------------------------------------------------------------------

# The outbox keeps and retries what a server does not take. Without a server mail waits where the site is served, and is
# printed on the console for the person at this machine.
MAIL_SERVER: dict[str, Any] = {
    "host": os.environ.get("SHOP_MAIL_HOST", ""),
    "port": int(environment.number("SHOP_MAIL_PORT", default="587", least=1, most=65535)),
    "username": os.environ.get("SHOP_MAIL_USER", ""),
    "password": os.environ.get("SHOP_MAIL_PASSWORD", ""),
    "use_tls": environment.switch("SHOP_MAIL_TLS", default=True),
    "timeout": 8,  # seconds; a page waits this long at most for a server that hangs
}
# Where suppliers' answers come in; without a host they are brought in as files.
MAILBOX: dict[str, Any] = {
    "host": os.environ.get("SHOP_IMAP_HOST", ""),
    "port": int(environment.number("SHOP_IMAP_PORT", default="993", least=1, most=65535)),
    "username": os.environ.get("SHOP_IMAP_USER", ""),
    "password": os.environ.get("SHOP_IMAP_PASSWORD", ""),
    "folder": os.environ.get("SHOP_IMAP_FOLDER", "INBOX"),
    "tls": environment.encryption("SHOP_IMAP_TLS"),
    "timeout": 8,
}
# Django's own name for it from 6.1 on, where EMAIL_BACKEND and its like are deprecated; in 5.2 the outbox reads it.
MAILERS: dict[str, dict[str, Any]]
if MAIL_SERVER["host"]:
    MAILERS = {"default": {"BACKEND": "shop.orders.smtp.SteppedBackend", "OPTIONS": MAIL_SERVER}}
elif PRODUCTION:
    MAILERS = {"default": {"BACKEND": "shop.orders.smtp.NoServer"}}
else:
    MAILERS = {"default": {"BACKEND": "django.core.mail.backends.console.EmailBackend"}}
DEFAULT_FROM_EMAIL = os.environ.get("SHOP_MAIL_FROM", "workshop@localhost")
MAIL_DOMAIN = DEFAULT_FROM_EMAIL.rpartition("@")[2].strip("> ")

# --- Files the pages are made of --------------------------------------------------------------------------------------

STATIC_URL = "static/"
STATIC_ROOT = environment.folder(DATA_DIR / "static")
STATICFILES_DIRS = [BASE_DIR / "shop" / "static"]
# The manifest gives every file a name that changes with its content, but needs collectstatic first; a fresh clone
# serves straight from the source folders.
STORAGES = {
    "default": {"BACKEND": "shop.base.storage.SyncedStorage"},
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if PRODUCTION
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = LOCAL
WHITENOISE_AUTOREFRESH = LOCAL
FORM_RENDERER = "shop.base.forms.Renderer"
DJANGO_TABLES2_TEMPLATE = "base/table.html"
SIMPLE_HISTORY_HISTORY_ID_USE_UUID = False
# A reason is often the only record of why: it is kept whole, however long.
SIMPLE_HISTORY_HISTORY_CHANGE_REASON_USE_TEXT_FIELD = True

if PRODUCTION and not environment.words("SHOP_HOSTS"):
    raise ImproperlyConfigured("SHOP_HOSTS must name the host(s) that the workshop is reached by, separated by commas.")

LOGGING = logging_of(json_lines=PRODUCTION)

"""Settings of the web door: one machine, one person, no login; nothing is loaded from elsewhere."""

from __future__ import annotations

from typing import Any

from django.utils.functional import SimpleLazyObject

from clothwright.library.folder import database_file, secret_key
from clothwright.sheets.translating import LOCALE

DEBUG = False
#: Made when first used, so that reading the settings writes nothing.
SECRET_KEY: Any = SimpleLazyObject(secret_key)
#: The names of this machine to itself; `serve` adds the one it was told.
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]"]

#: The word phones are asked for; `serve --phone` sets it, and without one no phone is let in.
PHONE_WORD = ""
#: Where phones are served; None where they are not.
PHONES_SERVED: Any = None

INSTALLED_APPS = [
    "django.contrib.staticfiles",
    "django_htmx",
    "clothwright.library.apps.LibraryConfig",
    "clothwright.web.apps.WebConfig",
]
MIDDLEWARE = [
    "clothwright.web.journal.tell_of_answers",
    "clothwright.web.stillness.in_turn",
    "django.middleware.security.SecurityMiddleware",
    "clothwright.web.middleware.content_security_policy",
    "clothwright.web.middleware.back_from_posts",
    "clothwright.web.phone_word.ask_for_word",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
ROOT_URLCONF = "clothwright.web.urls"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {"context_processors": ["django.template.context_processors.request"]},
    }
]

DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(database_file()),
        "OPTIONS": {
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA busy_timeout=20000;",
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
        },
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

STATIC_URL = "/static/"
STORAGES = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False

CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_NAME = "clothwright_csrf"
CSRF_FAILURE_VIEW = "clothwright.web.gone_wrong.refused"
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"

#: Django's checks for a server on the open network that do not fit a program on one machine, each for its reason:
SILENCED_SYSTEM_CHECKS = [
    # Strict transport, and sending everybody on to TLS: this machine speaks plainly to itself, at an address no other machine
    # reaches; phones come in over TLS at an address of their own, which speaks nothing else.
    "security.W004",
    "security.W008",
    # A cookie for TLS alone: plain and TLS addresses may share a name, and a browser that once had such a cookie would refuse the plain
    # one for good. The cookie only pairs with the token in the page; what lets a phone in is another, and that is for TLS alone.
    "security.W016",
]

#: A project page posts every field of every row.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 10_000
DATA_UPLOAD_MAX_MEMORY_SIZE = 5_000_000

USE_TZ = True
TIME_ZONE = "UTC"
#: Pages are in English; a page in another language is shown under `translation.override`.
USE_I18N = True
LANGUAGE_CODE = "en-gb"
LOCALE_PATHS = [str(LOCALE)]

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"dated": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {
        "faults": {"()": "clothwright.web.faults.FaultLog", "level": "ERROR", "formatter": "dated"},
        "slow": {"()": "clothwright.web.journal.SlowPlans"},
        "lines": {"()": "clothwright.web.journal.ToStandardError"},
    },
    "loggers": {
        "django": {"handlers": ["faults", "lines"], "level": "ERROR", "propagate": False},
        "clothwright": {"handlers": ["faults", "lines"], "level": "INFO"},
        "clothwright.slow": {"handlers": ["slow"], "level": "INFO"},
    },
}

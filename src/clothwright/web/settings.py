"""Settings of the web door: one machine, one person, no login; nothing is loaded from elsewhere."""

from __future__ import annotations

from typing import Any

from django.utils.functional import SimpleLazyObject

from clothwright.library.folder import database_file, secret_key

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

#: A project page posts every field of every row.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 10_000
DATA_UPLOAD_MAX_MEMORY_SIZE = 5_000_000

USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = False
LANGUAGE_CODE = "en-gb"

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

"""Settings of the web door: one machine, one person, no login; or a shared studio, where it is asked for. Nothing is loaded from elsewhere."""

from __future__ import annotations

from typing import Any

from django.utils.functional import SimpleLazyObject

from clothwright.library.folder import secret_key
from clothwright.library.studio.studio_asked import databases, mail_asked, studio_address, studio_asked
from clothwright.sheets.translating import LOCALE

DEBUG = False
#: Made when first used, so that reading the settings writes nothing.
SECRET_KEY: Any = SimpleLazyObject(secret_key)
#: The names of this machine to itself; `serve` adds the one it was told.
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]"]

#: Whether this is a shared studio: who signs in sees what is hers, and whoever does not sees nothing.
STUDIO = studio_asked()
#: The address its members type, as https://studio.example; empty where it was not said.
STUDIO_ADDRESS = studio_address()

#: The word phones are asked for; `serve --phone` sets it, and without one no phone is let in.
PHONE_WORD = ""
#: Where phones are served; None where they are not.
PHONES_SERVED: Any = None

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_htmx",
    "clothwright.library.apps.LibraryConfig",
    "clothwright.web.apps.WebConfig",
]
MIDDLEWARE = [
    "clothwright.web.mishaps.journal.tell_of_answers",
    "clothwright.web.stillness.in_turn",
    "clothwright.web.beginning.examples.InTheirOwnWorld",
    "django.middleware.security.SecurityMiddleware",
    "clothwright.web.middleware.content_security_policy",
    "clothwright.web.middleware.back_from_posts",
    "clothwright.web.middleware.answered_posts_kept",
    "clothwright.web.phone.phone_word.ask_for_word",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "clothwright.web.studio.gate.Gate",
    "clothwright.web.once.asked_once",
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

DATABASES = databases()
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

STATIC_URL = "/static/"
STORAGES = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False

CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_NAME = "clothwright_csrf"
CSRF_FAILURE_VIEW = "clothwright.web.mishaps.gone_wrong.refused"
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"

AUTH_USER_MODEL = "library.Member"
#: Argon2, as OWASP's password storage cheat sheet recommends first; the other reads what a studio without it kept.
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("email", "name")},
    },
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
#: A link to a new password is good for a day.
PASSWORD_RESET_TIMEOUT = 24 * 3600
LOGIN_URL = "sign_in"

_BY_HTTPS = STUDIO_ADDRESS.startswith("https://")
SESSION_COOKIE_NAME = "clothwright_session"
SESSION_COOKIE_AGE = 14 * 24 * 3600
SESSION_COOKIE_SECURE = _BY_HTTPS
CSRF_COOKIE_SECURE = _BY_HTTPS
CSRF_TRUSTED_ORIGINS = [STUDIO_ADDRESS] if STUDIO_ADDRESS else []
SECURE_HSTS_SECONDS = 30 * 24 * 3600 if _BY_HTTPS else 0

MAIL = mail_asked()
EMAIL_HOST, EMAIL_PORT = MAIL.host, MAIL.port
EMAIL_HOST_USER, EMAIL_HOST_PASSWORD = MAIL.user, MAIL.password
EMAIL_USE_TLS, EMAIL_USE_SSL = MAIL.starttls, MAIL.tls
DEFAULT_FROM_EMAIL = MAIL.sender
EMAIL_TIMEOUT = 10

#: Django's checks for a server on the open network that do not fit a program on one machine, each for its reason:
SILENCED_SYSTEM_CHECKS = [
    # Strict transport, and sending everybody on to TLS: this machine speaks plainly to itself, at an address no other machine
    # reaches; phones come in over TLS at an address of their own, which speaks nothing else.
    "security.W004",
    "security.W008",
    # A cookie for TLS alone: plain and TLS addresses may share a name, and a browser that once had such a cookie would refuse the plain
    # one for good. The cookie only pairs with the token in the page; what lets a phone in is another, and that is for TLS alone.
    "security.W016",
    # A cookie of a session for TLS alone: at one table no session is ever begun, and a studio that is reached by https asks for it.
    "security.W012",
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
        "faults": {"()": "clothwright.web.mishaps.faults.FaultLog", "level": "ERROR", "formatter": "dated"},
        "slow": {"()": "clothwright.web.mishaps.journal.SlowPlans"},
        "lines": {"()": "clothwright.web.mishaps.journal.ToStandardError"},
    },
    "loggers": {
        "django": {"handlers": ["faults", "lines"], "level": "ERROR", "propagate": False},
        "clothwright": {"handlers": ["faults", "lines"], "level": "INFO"},
        # It tells of every request that waits for a thread.
        "waitress": {"handlers": ["faults", "lines"], "level": "ERROR", "propagate": False},
        "clothwright.slow": {"handlers": ["slow"], "level": "INFO"},
    },
}

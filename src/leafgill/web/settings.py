"""Django's settings. What a home may want to change is an environment variable (docs/app.md)."""

from __future__ import annotations

import os
from datetime import timedelta
from pathlib import Path

from leafgill.log_lines import logging_settings
from leafgill.web.home import database, home, secret_key
from leafgill.web.hosts import names_of, reaches_out

_HERE = Path(__file__).parent
_YES = ("1", "true", "yes", "on")

DEBUG = False
SECRET_KEY = secret_key()

# -- who may ask, and by which name (leafgill.web.middleware looks at addresses)

HOST = os.environ.get("LEAFGILL_HOST", "127.0.0.1")
TRUSTED_PROXY = os.environ.get("LEAFGILL_TRUSTED_PROXY", "").strip()
TLS = os.environ.get("LEAFGILL_TLS", "").strip().lower() in _YES
_MORE_NAMES = os.environ.get("LEAFGILL_ALLOWED_HOSTS", "").strip()
# whoever names a proxy, TLS or names has something on this machine that hands requests on to it
BEYOND_THIS_MACHINE = reaches_out(HOST) or bool(TRUSTED_PROXY or TLS or _MORE_NAMES)
HOST_NAMES = names_of(HOST, _MORE_NAMES)
ALLOWED_HOSTS = ["*"] if BEYOND_THIS_MACHINE else HOST_NAMES

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_htmx",
    "axes",
    "leafgill.web.apps.WebConfig",
]
MIDDLEWARE = [
    "leafgill.web.middleware.KnownHost",
    "leafgill.web.middleware.Headers",
    "leafgill.web.ingest.http.Readings",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "leafgill.web.middleware.KeeperAtThisMachine",
    "leafgill.web.middleware.KeepersZone",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "leafgill.web.urls"
WSGI_APPLICATION = "leafgill.web.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "leafgill.web.context.person",
            ]
        },
    }
]

# -- the store

DATABASES = {"default": database()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# -- people

AUTH_USER_MODEL = "web.Keeper"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ["username"]},
    },
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "tanks"
LOGOUT_REDIRECT_URL = "login"
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_USERNAME_CALLABLE = "leafgill.web.store.keepers.name_tried"
AXES_RESET_ON_SUCCESS = True
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_DISABLE_ACCESS_LOG = True
AXES_ENABLE_ADMIN = False
AXES_VERBOSE = False
AXES_LOCKOUT_TEMPLATE = "web/people/locked.html"
AXES_CLIENT_IP_CALLABLE = "leafgill.web.middleware.address_of"

# -- sessions and forms

SESSION_COOKIE_NAME = "leafgill_session"
SESSION_COOKIE_AGE = 60 * 86_400
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = TLS
CSRF_COOKIE_NAME = "leafgill_csrf"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = TLS
CSRF_FAILURE_VIEW = "leafgill.web.views.errors.forgery"
# a probe file of some years is larger than a form is by default
DATA_UPLOAD_MAX_MEMORY_SIZE = 10_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000

# -- texts and times

USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = False
LANGUAGE_CODE = "en-gb"

# -- files that do not change

STATIC_URL = "static/"
# `serve` gathers the files under names that carry their content; elsewhere they are found where
# they lie.
_GATHERED = bool(os.environ.get("LEAFGILL_GATHERED"))
STATIC_ROOT = home() / "static" if _GATHERED else None
WHITENOISE_USE_FINDERS = not _GATHERED
WHITENOISE_AUTOREFRESH = False
_STATIC = "whitenoise.storage.CompressedManifestStaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": _STATIC if _GATHERED else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}

# -- the worker: "off", "inline" (within the request, for tests) or "process"

WORKER = os.environ.get("LEAFGILL_WORKER", "off")

LOGGING = logging_settings()

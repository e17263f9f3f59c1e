"""Django settings, one flat file. Every value an operator may change comes from the environment (DEVELOPERS.md lists them)."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONE, SELF
from django.utils.translation import gettext_lazy as _
from kombu.entity import Queue

from portal import env, private_files, quiet_logs

private_files.ours_alone()  # both here, because every process of ours begins with its settings
quiet_logs.install()

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(env.text("DATA_DIR", str(BASE_DIR / "var"))).resolve()

DEBUG = env.flag("DEBUG", False)
SECRET_KEY = env.secret("SECRET_KEY", DATA_DIR / "secret-key")
SITE_URL = env.text("SITE_URL", f"http://localhost:{env.whole('PORT', 8000, least=1)}").rstrip("/")
HTTPS = SITE_URL.startswith("https://")
ALLOWED_HOSTS = env.words("ALLOWED_HOSTS", ["localhost", "127.0.0.1", "[::1]", urlsplit(SITE_URL).hostname or ""])
CSRF_TRUSTED_ORIGINS = [SITE_URL]
TRUSTED_PROXIES = env.whole("TRUSTED_PROXIES", 0)

INSTALLED_APPS = [
    "portal.people",
    "portal.camps",
    "portal.intake",
    "portal.measuring",
    "portal.desk",
    "portal.drills",
    "portal.evaluations",
    "portal.look",
    "portal.outbox",
    "portal.health",
    "portal.owner",
    "portal.privacy",
    "portal.demo",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.forms",
    "django.contrib.admin",
    "django_htmx",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "csp",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "portal.private_pages.PrivatePages",
    "csp.middleware.CSPMiddleware",
    "portal.plain_input.PlainInput",
    "portal.people.sessions.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "portal.people.second_step.SecondStepMiddleware",
    "portal.people.chosen_rows.ChosenRows",
    "portal.evaluations.middleware.NoLookUnnoted",
    "portal.disk_full_page.SaidWhenFull",  # the last is asked first: a look that could not be noted for want of room, too
]

ROOT_URLCONF = "portal.urls"
WSGI_APPLICATION = "portal.wsgi.application"

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
                "portal.look.context.chrome",
            ],
        },
    },
]

FORM_RENDERER = "portal.look.forms.LookRenderer"

# Database: SQLite tuned for a web server and a worker side by side, unless a URL is given.
DATABASES = {"default": env.database("DATABASE_URL", DATA_DIR / "cagenote.sqlite3")}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATA_DIR.mkdir(parents=True, exist_ok=True)
    DATABASES["default"]["OPTIONS"] = {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        # secure_delete: what is deleted is overwritten (portal/privacy/scrubbing.py)
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA busy_timeout=20000; "
        "PRAGMA secure_delete=ON;",
    }
else:
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
# Kept by each of the few threads. SQLite's last connection to go would write all of its log into the database, each time.
DATABASES["default"]["CONN_MAX_AGE"] = 60
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# Queue: the bundled Redis listens on a socket in DATA_DIR, unless a URL is given.
REDIS_SOCKET = env.socket_path(DATA_DIR, "redis.sock")
REDIS_URL = env.text("REDIS_URL", f"unix://{REDIS_SOCKET}?db=0")
EMBEDDED_REDIS = REDIS_URL.startswith("unix://") and str(REDIS_SOCKET) in REDIS_URL
QUEUE_PATIENCE_S = 2.0  # a queue that is silent for longer is down: see portal/queue_door.py
CELERY_BROKER_URL = REDIS_URL.replace("unix://", "redis+socket://", 1).replace("?db=", "?virtual_host=")
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
# Clips wait in a queue of their own, so that mail, PDFs and signs of life never stand behind an hour of film; and so does
# mail, so that a code never stands behind a PDF, and nothing behind a mail server that says nothing. A worker without -Q
# takes from all.
CELERY_TASK_QUEUES = (Queue("celery"), Queue("measuring"), Queue("mail"))
CELERY_TASK_ROUTES = {
    "portal.measuring.tasks.measure_clip": {"queue": "measuring"},
    "portal.measuring.tasks.read_some_again": {"queue": "measuring"},
    "portal.health.tasks.measurer_heartbeat": {"queue": "measuring"},
    "portal.outbox.tasks.send_waiting": {"queue": "mail"},
    "portal.health.tasks.mailer_heartbeat": {"queue": "mail"},
}
ANALYSIS_COMMAND = shlex.split(env.text("ANALYSIS_COMMAND", "")) or [sys.executable, "-m", "analysis"]
MEASURE_TIME_LIMIT_S = env.whole("MEASURE_TIME_LIMIT_S", 1800, least=60)
MEASURE_CLIPS = env.whole("MEASURE_CLIPS", 1, least=1)  # at a time, in the set that `manage.py run` starts
MEASURE_MEMORY_MB = env.whole("MEASURE_MEMORY_MB", 8192, least=1024)  # address space, not resident memory
MEASURE_NICENESS = env.whole("MEASURE_NICENESS", 10)  # how far it steps back for the pages
MEASURE_STALE_S = env.whole("MEASURE_STALE_S", 60, least=2)  # a worker silent for longer is taken for dead
CELERY_BROKER_TRANSPORT_OPTIONS = {
    "visibility_timeout": 6 * 3600,  # far above the hard limit plus a long queue
    # Pages publish through these too: they give up soon, and the sweep finds the work. max_retries 0 would mean forever.
    "socket_timeout": QUEUE_PATIENCE_S,
    "socket_connect_timeout": QUEUE_PATIENCE_S,
    "max_retries": 1,
    "interval_start": 0,
    "interval_step": 0,
}
CELERY_BROKER_CONNECTION_TIMEOUT = QUEUE_PATIENCE_S
CELERY_BROKER_CONNECTION_MAX_RETRIES = None  # a worker waits for its queue as long as it takes
CELERY_TASK_PUBLISH_RETRY = False  # the sweep does it, and no page waits
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = False  # the sweep finds lost work; a requeue loop would never end
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_MAX_TASKS_PER_CHILD = 50
CELERY_WORKER_SOFT_SHUTDOWN_TIMEOUT = 5
CELERY_TASK_TIME_LIMIT = MEASURE_TIME_LIMIT_S + 120
CELERY_TASK_SOFT_TIME_LIMIT = MEASURE_TIME_LIMIT_S + 60
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_SERIALIZER = "json"
CELERY_ACCEPT_CONTENT = ["json"]
CELERY_TIMEZONE = "UTC"
CELERY_BEAT_SCHEDULE_FILENAME = str(DATA_DIR / "beat-schedule")
CELERY_BEAT_SCHEDULE = {
    "sweep": {
        "task": "portal.measuring.tasks.sweep",
        "schedule": min(20.0, MEASURE_STALE_S / 2),
        "options": {"expires": 60},
    },
    "missing PDFs": {
        "task": "portal.evaluations.tasks.find_missing_pdfs",
        "schedule": 60.0,
        "options": {"expires": 120},
    },
    "leftovers": {
        "task": "portal.intake.tasks.erase_leftovers",
        "schedule": 3600.0,
        "options": {"expires": 1800},
    },
    "whole uploads": {
        "task": "portal.intake.tasks.finish_uploads",
        "schedule": 60.0,
        "options": {"expires": 120},
    },
    "keeping": {
        "task": "portal.privacy.tasks.keep_no_longer",
        "schedule": 24 * 3600.0,
        "options": {"expires": 3600},
    },
    "erasures": {
        "task": "portal.privacy.tasks.finish_erasures",
        "schedule": 300.0,
        "options": {"expires": 240},
    },
    "heartbeat": {"task": "portal.health.tasks.heartbeat", "schedule": 15.0, "options": {"expires": 60}},
    "measurer-heartbeat": {
        "task": "portal.health.tasks.measurer_heartbeat",
        "schedule": 15.0,
        "options": {"expires": 60},
    },
    "mailer-heartbeat": {"task": "portal.health.tasks.mailer_heartbeat", "schedule": 15.0, "options": {"expires": 60}},
    "emails": {"task": "portal.outbox.tasks.send_waiting", "schedule": 15.0, "options": {"expires": 15}},
    "old emails": {"task": "portal.outbox.tasks.forget_old", "schedule": 24 * 3600.0, "options": {"expires": 3600}},
}

CACHES = {"default": {"BACKEND": "portal.cache.Cache", "LOCATION": REDIS_URL}}

# People
AUTH_USER_MODEL = "people.User"
AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "home"
ACCOUNT_ADAPTER = "portal.people.adapter.InviteOnlyAdapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1"]  # without the second, sign-in would offer no password either
ACCOUNT_EMAIL_VERIFICATION = "mandatory"
ACCOUNT_EMAIL_VERIFICATION_BY_CODE_ENABLED = True
ACCOUNT_EMAIL_VERIFICATION_BY_CODE_TIMEOUT = 15 * 60
ACCOUNT_LOGIN_BY_CODE_ENABLED = True
ACCOUNT_LOGIN_BY_CODE_TIMEOUT = 15 * 60  # mail can be slow; three minutes are too short
ACCOUNT_LOGIN_BY_CODE_SUPPORTS_RESEND = True
ACCOUNT_PREVENT_ENUMERATION = True
ACCOUNT_SESSION_REMEMBER = True
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
MFA_ADAPTER = "portal.people.second_step.SecondStepAdapter"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_FORMS = {"activate_totp": "portal.people.set_up_code.SetUpCodeForm"}
MFA_TOTP_TOLERANCE = 1  # the clock of a phone may be half a minute off
ALLAUTH_TRUSTED_PROXY_COUNT = TRUSTED_PROXIES
SESSION_COOKIE_AGE = 60 * 60 * 24 * 30

# Mail: every email is a row of the outbox first; a worker sends it. Without a mail server it stays there.
_mail = env.mail("EMAIL_URL")
EMAIL_BACKEND = "portal.outbox.backend.OutboxBackend"
OUTBOX_FORWARDS_TO = _mail.pop("EMAIL_BACKEND", None)
if OUTBOX_FORWARDS_TO == "django.core.mail.backends.smtp.EmailBackend":
    OUTBOX_FORWARDS_TO = "portal.outbox.smtp.EmailBackend"
globals().update(_mail)
EMAIL_TIMEOUT = env.whole("EMAIL_TIMEOUT", 15, least=1)  # of each step: connecting, greeting, every command
DEFAULT_FROM_EMAIL = env.text("DEFAULT_FROM_EMAIL", "Cagenote <cagenote@localhost>")
SERVER_EMAIL = DEFAULT_FROM_EMAIL

# Words
LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English"))]
LOCALE_PATHS = [BASE_DIR / "templates" / "locale"]
TIME_ZONE = env.time_zone("TIME_ZONE", "UTC")
USE_TZ = True

PAPER = env.choice("PAPER", "a4", ["a4", "letter"])  # of the evaluation's PDF

# Files
STATIC_URL = "/static/"
STATIC_ROOT = DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.FileSystemFinder",
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "portal.look.npm_files.NpmFinder",
]
MEDIA_ROOT = Path(env.text("MEDIA_ROOT", str(DATA_DIR / "media"))).resolve()
MEDIA_URL = "/never-served-directly/"
MEDIA_ACCEL = env.flag("MEDIA_ACCEL", False)
MEDIA_GROUP = env.group("MEDIA_GROUP")  # may read what is shown (portal/private_files.py); nobody without one
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "portal.look.storage.Storage"},
}
WHITENOISE_USE_FINDERS = DEBUG
DISK_RESERVE_BYTES = env.whole("DISK_RESERVE_MB", 500) * 1024 * 1024  # clips are refused before the disk is full
UPLOAD_MAX_BYTES = env.whole("UPLOAD_MAX_MB", 700, least=1) * 1024 * 1024
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
FILE_UPLOAD_PERMISSIONS = 0o600 if MEDIA_GROUP is None else 0o640
FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o700 if MEDIA_GROUP is None else 0o750
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.TemporaryFileUploadHandler"]
ERASED_LEDGER = env.text("ERASED_LEDGER", str(DATA_DIR / "erased.jsonl"))  # what was erased; no backup brings it back
FILE_UPLOAD_TEMP_DIR = env.own_folder(DATA_DIR / "on-the-way")  # bodies that still come in: ours alone
LINES_PER_ADDRESS = env.whole("LINES_PER_ADDRESS", 100, least=8)  # connections that one address may hold at a time
POSE_MODEL = env.text("CAGENOTE_POSE_MODEL", "")

# Security
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 60 * 60 * 24 * 365 if HTTPS else 0
# Both bind every site under this name, and are hard to take back: off unless asked for.
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS and env.flag("HSTS_SUBDOMAINS", False)
SECURE_HSTS_PRELOAD = HTTPS and env.flag("HSTS_PRELOAD", False)
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]  # which ask for the two
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if TRUSTED_PROXIES else None
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SESSION_COOKIE_SECURE = HTTPS
SESSION_COOKIE_HTTPONLY = True
CSRF_COOKIE_SECURE = HTTPS
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "blob:", "data:"],
        "media-src": [SELF, "blob:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "form-action": [SELF],
    }
}

# Admin's own pages of Django carry no inline code; the policy above holds there too.
DEMO = env.flag("CAGENOTE_DEMO", False)
SECOND_FACTOR = env.flag("SECOND_FACTOR", not DEMO)  # asked of owner and coaches (portal/people/second_step.py)

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "%(asctime)s %(levelname)s %(name)s: %(message)s"}},
    "filters": {"without_secrets": {"()": "portal.logs.WithoutSecrets"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line", "filters": ["without_secrets"]}},
    "root": {"handlers": ["console"], "level": env.text("LOG_LEVEL", "INFO")},
}

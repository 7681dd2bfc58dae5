"""All settings. Each that a railway may change is an environment variable with a safe default."""

from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF

from . import environment

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = environment.data_folder()

SECRET_KEY = environment.secret_key(DATA_DIR)
DEBUG = environment.switch("DEBUG", False)
ALLOWED_HOSTS = environment.words("ALLOWED_HOSTS", ["localhost", "127.0.0.1", "[::1]"])
CSRF_TRUSTED_ORIGINS = environment.words("CSRF_TRUSTED_ORIGINS", [])

INSTALLED_APPS = [
    "config.apps.ConfigConfig",
    "defects",
    "inspections",
    "assets",
    "config.apps.ReferenceSiteConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "django_filters",
    "simple_history",
    "axes",
    "csp",
]

MIDDLEWARE = [
    "csp.middleware.CSPMiddleware",  # outermost: whatever is refused further in is bound too
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "config.operations.uploads.RequestSizeMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "config.access.AccessMiddleware",
    "config.operations.too_large_numbers.NumberTooLargeMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "config.access.capabilities",
            ],
        },
    }
]
FORM_RENDERER = "config.forms.FormRenderer"

DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{DATA_DIR / 'register.sqlite3'}", conn_max_age=60
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = {
        # Take the write lock at the start of a transaction: a reader that turns writer half-way
        # would otherwise fail at once instead of waiting its turn.
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,
        # FULL: what was answered as saved survives a power cut, not only the end of the program.
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
# A whole depot may share one address, so a name is locked together with its address only.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_TEMPLATE = "config/locked_out.html"

LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"
SESSION_COOKIE_AGE = (
    14 * 24 * 3600
)  # seconds: a fortnight, so that a phone is ready at the lineside

LANGUAGE_CODE = "en-gb"
TIME_ZONE = environment.text("TIME_ZONE", "Europe/London")
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
WHITENOISE_USE_FINDERS = True  # no collecting step: the files are served from the program itself
MEDIA_ROOT = DATA_DIR / "photographs"
DATA_UPLOAD_MAX_NUMBER_FIELDS = 4000  # a long visit has hundreds of readings
DATA_UPLOAD_MAX_NUMBER_FILES = 600  # ... and an empty place for photographs beside each look

# Encrypted connections are expected; only the demo on the loopback address turns this off.
HTTPS = environment.switch("HTTPS", True)
SECURE_SSL_REDIRECT = HTTPS
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = HTTPS
if environment.switch("BEHIND_PROXY", False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "connect-src": [SELF],
        "font-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "base-uri": [NONE],
    }
}

LEVELS = ("WARNING", "DEBUG", "INFO", "ERROR", "CRITICAL")
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "{asctime} {levelname} {name} {message}", "style": "{"},
        "json": {"()": "config.operations.logs.JsonLines"},
    },
    "handlers": {
        "stderr": {
            "class": "logging.StreamHandler",
            "formatter": environment.one_of("LOG_FORMAT", ("line", "json")),
        }
    },
    # One request that waits for another is no news.
    "loggers": {"waitress.queue": {"level": "ERROR"}},
    "root": {"handlers": ["stderr"], "level": environment.one_of("LOG_LEVEL", LEVELS)},
}

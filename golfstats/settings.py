"""Settings, read from the environment. DEVELOPERS.md lists every variable in one table."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import environ

BASE_DIR = Path(__file__).resolve().parent.parent
env = environ.Env()

DEBUG = env.bool("DEBUG", default=False)
DATA_FOLDER = Path(env.str("GOLFSTATS_DATA", default=str(BASE_DIR / ".data")))
# Without a database of its own this is a trial on one machine, where a fixed key does no harm.
EMBEDDED = "DATABASE_URL" not in env.ENVIRON
SECRET_KEY = (
    env.str("SECRET_KEY", default="only-for-a-trial-on-one-machine") if EMBEDDED else env.str("SECRET_KEY")
)
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["localhost", "127.0.0.1", "[::1]", "testserver"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[])

INSTALLED_APPS = [
    "golfstats.postgres",
    "golfstats.clubs",
    "golfstats.outbox",
    "golfstats.api",
    "golfstats.webhooks",
    "courses",
    "players",
    "golfstats.web",
    "golfstats.demo",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_filters",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "knox",
    "rest_framework",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "golfstats.web.security.ContentSecurityPolicy",
]

ROOT_URLCONF = "golfstats.urls"
WSGI_APPLICATION = "golfstats.wsgi.application"
AUTH_USER_MODEL = "clubs.User"
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "front-page"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ]
        },
    }
]


def _database(variable: str, embedded_role: str) -> dict[str, Any]:
    engine = "golfstats.postgres.backend"
    if EMBEDDED:
        return {
            "ENGINE": engine,
            "NAME": "golfstats",
            "USER": embedded_role,
            "EMBEDDED_IN": DATA_FOLDER / "postgres",
        }
    return {**env.db_url(variable), "ENGINE": engine}


# Two roles on one database: "default" obeys row-level security, "owner" only migrates.
DATABASES: dict[str, dict[str, Any]] = {
    "default": {**_database("DATABASE_URL", "golfstats_app"), "TEST": {"MIRROR": "owner"}},
    "owner": _database("OWNER_DATABASE_URL", "golfstats_owner"),
}

REDIS_URL = env.str("REDIS_URL", default="")
# A database of its own in Redis: clearing the cache must not clear the queue.
CACHE_URL = env.str("CACHE_URL", default="")
if CACHE_URL:
    CACHES = {"default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": CACHE_URL}}

LANGUAGE_CODE = "en-gb"
TIME_ZONE = "UTC"
USE_TZ = True

STATIC_URL = "static/"
# Static files are served from the packages they come in; there is nothing to collect.
WHITENOISE_USE_FINDERS = True

# A round of 18 holes is about 15 kB; the largest thing anybody posts is a CSV of old rounds.
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
ROUND_BODY_LIMIT = 256 * 1024

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "knox.auth.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": [
        "golfstats.api.renderers.JSONRenderer",
        "rest_framework.renderers.BrowsableAPIRenderer",
    ],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_PAGINATION_CLASS": "golfstats.api.paging.CursorPagination",
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_FILTER_BACKENDS": [],
    "DEFAULT_THROTTLE_CLASSES": ["golfstats.api.throttles.PersonThrottle"],
    "DEFAULT_THROTTLE_RATES": {"person": env.str("THROTTLE", default="600/min"), "sign_in": "30/min"},
    "EXCEPTION_HANDLER": "golfstats.api.problems.exception_handler",
    "NUM_PROXIES": env.int("NUM_PROXIES", default=0),
}
REST_KNOX = {"AUTH_HEADER_PREFIX": "Bearer", "TOKEN_TTL": timedelta(days=90), "AUTO_REFRESH": False}

SPECTACULAR_SETTINGS = {
    "TITLE": "golfstats",
    "VERSION": "1.0.0",
    "DESCRIPTION": (
        "Strokes gained, handicap figures and the effect of green work for the members of a golf club. "
        "Handicap figures are unofficial: only an authorised association issues a Handicap Index."
    ),
    "SERVE_INCLUDE_SCHEMA": False,
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "REDOC_DIST": "SIDECAR",
    "COMPONENT_SPLIT_REQUEST": True,
    "SCHEMA_PATH_PREFIX": r"/api/v1",
    # Bodies are described by pydantic, whose "null" is a type of its own only since 3.1.
    "OAS_VERSION": "3.1.0",
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "golfstats.api.openapi.complete",
    ],
}

GRAPHQL = {
    "MAX_TOKENS": env.int("GRAPHQL_MAX_TOKENS", default=2_000),
    "MAX_DEPTH": env.int("GRAPHQL_MAX_DEPTH", default=14),
    "MAX_ALIASES": env.int("GRAPHQL_MAX_ALIASES", default=30),
    "MAX_COST": env.int("GRAPHQL_MAX_COST", default=50_000),
    # Off wherever others can reach the service; the schema is in the repository (golfstats/schema.graphql).
    "INTROSPECTION": env.bool("GRAPHQL_INTROSPECTION", default=DEBUG or EMBEDDED),
    "PERSISTED_ONLY": env.bool("GRAPHQL_PERSISTED_ONLY", default=False),
}

# Redelivery waits longer than any task may run, so that no task is delivered twice while it runs.
CELERY_BROKER_URL = REDIS_URL or None
CELERY_BROKER_TRANSPORT_OPTIONS = {
    "visibility_timeout": 900,
    # A request's message to a worker is a courtesy: when Redis is down, do not keep the request waiting.
    "max_retries": 0,
    "socket_connect_timeout": 2,
    "socket_timeout": 10,
}
CELERY_TASK_TIME_LIMIT = 600
CELERY_TASK_SOFT_TIME_LIMIT = 540
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = True
CELERY_WORKER_SOFT_SHUTDOWN_TIMEOUT = 10.0
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
CELERY_BEAT_SCHEDULE = {
    # A sweep that found no worker within its half minute is not worth catching up on.
    "sweep": {"task": "golfstats.outbox.sweep", "schedule": 30.0, "options": {"expires": 30.0}}
}
# Keeps its times in memory: a schedule in seconds needs no file.
CELERY_BEAT_SCHEDULER = "celery.beat:Scheduler"

# For a club whose own systems are on a private network: messages may go there, and over plain http.
WEBHOOKS_ALLOW_PRIVATE = env.bool("WEBHOOKS_ALLOW_PRIVATE", default=False)

SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if env.bool("BEHIND_TLS", default=False) else None
)
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = env.bool("BEHIND_TLS", default=False)

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": env.str("LOG_LEVEL", default="WARNING")},
}

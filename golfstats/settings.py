"""Settings, read from the environment. DEVELOPERS.md lists every variable in one table."""

from datetime import timedelta
from pathlib import Path

import environ
from celery.schedules import crontab
from corsheaders.defaults import default_headers
from django.core.exceptions import ImproperlyConfigured
from kombu import Queue

BASE_DIR = Path(__file__).resolve().parent.parent
env = environ.Env()

DEBUG = env.bool("DEBUG", default=False)
DATA_FOLDER = Path(env.str("GOLFSTATS_DATA", default=str(BASE_DIR / ".data")))
# Without a database of its own this is a trial on one machine, where a fixed key does no harm.
EMBEDDED = "DATABASE_URL" not in env.ENVIRON
SECRET_KEY = (
    env.str("SECRET_KEY", default="only-for-a-trial-on-one-machine") if EMBEDDED else env.str("SECRET_KEY")
)
if not EMBEDDED and (len(SECRET_KEY) < 32 or len(set(SECRET_KEY)) < 10):
    raise ImproperlyConfigured(
        "SECRET_KEY has to be at least 32 characters, not one of them repeated over and over"
    )
SECRET_KEY_FALLBACKS = env.list("OLD_SECRET_KEYS", default=[])
ALLOWED_HOSTS = env.list("ALLOWED_HOSTS", default=["localhost", "127.0.0.1", "[::1]", "testserver"])
CSRF_TRUSTED_ORIGINS = env.list("CSRF_TRUSTED_ORIGINS", default=[])

# Pages of other origins that may ask the API, by a token: a session's cookie is never sent along.
CORS_ALLOWED_ORIGINS = env.list("CORS_ORIGINS", default=[])
CORS_URLS_REGEX = r"^/(api/|graphql$|oauth/token$|\.well-known/)"
CORS_ALLOW_HEADERS = (*default_headers, "club", "idempotency-key", "if-match", "if-none-match", "prefer")
CORS_EXPOSE_HEADERS = (
    *("Deprecation", "ETag", "Idempotency-Replayed", "Link", "Location", "Preference-Applied", "RateLimit"),
    *("RateLimit-Policy", "Retry-After", "Sunset", "X-Request-Id"),
)
CORS_PREFLIGHT_MAX_AGE = 3600

# Programs that may ask a person to be let in, each as id=address: see golfstats.doors.pages.programs.
OAUTH_CLIENTS = env.list("OAUTH_CLIENTS", default=[])

INSTALLED_APPS = [
    "golfstats.ground.postgres",
    "golfstats.ground.clubs",
    "golfstats.ground.outbox",
    "golfstats.ground.mail",
    "golfstats.ground.answered",
    "golfstats.ground.webhooks",
    "courses",
    "players",
    "golfstats.doors.pages",
    "golfstats.demo",
    "corsheaders",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "django_otp",
    "django_otp.plugins.otp_static",
    "django_otp.plugins.otp_totp",
    "knox",
    "rest_framework",
]

MIDDLEWARE = [
    "golfstats.doors.rest.watching.Watch",
    "corsheaders.middleware.CorsMiddleware",
    "golfstats.doors.rest.http.manners.Methods",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "golfstats.doors.rest.http.manners.Tags",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "golfstats.doors.pages.languages.PageLanguage",
    "golfstats.doors.pages.limits.PageThrottle",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "golfstats.doors.pages.security.AnswerHeaders",
]

ROOT_URLCONF = "golfstats.urls"
WSGI_APPLICATION = "golfstats.wsgi.application"
AUTH_USER_MODEL = "clubs.User"
AUTHENTICATION_BACKENDS = ["golfstats.ground.clubs.sign_in.GuardedBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}", "OPTIONS": options}
    for name, options in (
        ("MinimumLengthValidator", {"min_length": 10}),
        ("UserAttributeSimilarityValidator", {}),
        ("CommonPasswordValidator", {}),
        ("NumericPasswordValidator", {}),
    )
]
OTP_TOTP_ISSUER = "golfstats"  # what an authenticator shows beside the name
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "front-page"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": ["django.templatetags.i18n"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]


def _database(variable: str, embedded_role: str) -> dict[str, object]:
    engine = "golfstats.ground.postgres.backend"
    if EMBEDDED:
        return {
            "ENGINE": engine,
            "NAME": "golfstats",
            "USER": embedded_role,
            "EMBEDDED_IN": DATA_FOLDER / "postgres",
        }
    return {**env.db_url(variable), "ENGINE": engine}


# Requests of a thread share a connection: making one costs more than a small answer. Nothing is set for its session.
KEPT_CONNECTION: dict[str, object] = {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True}

# Off behind a pooler that gives each transaction another connection and does not know what was prepared on which.
PREPARED_STATEMENTS = env.bool("PREPARED_STATEMENTS", default=True)

# Two roles on one database: "default" obeys row-level security, "owner" only migrates.
DATABASES: dict[str, dict[str, object]] = {
    "default": {
        **KEPT_CONNECTION,
        **_database("DATABASE_URL", "golfstats_app"),
        "TEST": {"MIRROR": "owner"},
    },
    "owner": _database("OWNER_DATABASE_URL", "golfstats_owner"),
}

REDIS_URL = env.str("REDIS_URL", default="")
# A database of its own in Redis: clearing the cache must not clear the queue.
CACHE_URL = env.str("CACHE_URL", default="")
if CACHE_URL:
    CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": CACHE_URL,
            "OPTIONS": {"socket_connect_timeout": 1, "socket_timeout": 1},
        }
    }
# Where requests and wrong passwords are counted: see golfstats.ground.counts.
COUNTS_IN = env.str("COUNTS_IN", default="cache" if CACHE_URL else "process" if EMBEDDED else "database")
OPEN_FOUNDING = env.bool("OPEN_FOUNDING", default=EMBEDDED)
THROTTLE = env.str("THROTTLE", default="600/min")

# What pages speak beside English; each has a complete catalogue in golfstats/doors/pages/locale.
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English")] + [
    (code, name) for code, name in (("de", "Deutsch"),) if code in env.list("PAGE_LANGUAGES", default=["de"])
]
LANGUAGE_COOKIE_AGE = 365 * 24 * 3600
LANGUAGE_COOKIE_SAMESITE = "Lax"
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
        "golfstats.doors.rest.http.authentication.BearerAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": [
        "rest_framework.permissions.IsAuthenticated",
        "golfstats.doors.rest.http.authentication.WithinTokenScope",
    ],
    "DEFAULT_RENDERER_CLASSES": [
        "golfstats.doors.rest.renderers.JSONRenderer",
        "rest_framework.renderers.BrowsableAPIRenderer",
    ],
    "DEFAULT_PARSER_CLASSES": ["rest_framework.parsers.JSONParser"],
    "DEFAULT_PAGINATION_CLASS": "golfstats.doors.rest.paging.CursorPagination",
    "DEFAULT_FILTER_BACKENDS": [],
    "DEFAULT_THROTTLE_CLASSES": ["golfstats.doors.rest.http.throttles.PersonThrottle"],
    "EXCEPTION_HANDLER": "golfstats.doors.rest.problems.exception_handler",
    "NUM_PROXIES": env.int("NUM_PROXIES", default=0),
}
REST_KNOX = {"AUTH_HEADER_PREFIX": "Bearer", "TOKEN_TTL": timedelta(days=90), "AUTO_REFRESH": False}

GRAPHQL = {
    "MAX_TOKENS": env.int("GRAPHQL_MAX_TOKENS", default=2_000),
    "MAX_DEPTH": env.int("GRAPHQL_MAX_DEPTH", default=14),
    "MAX_ALIASES": env.int("GRAPHQL_MAX_ALIASES", default=30),
    # Seconds of work a minute that all members of a club together may ask for.
    "CLUB_SECONDS": env.int("GRAPHQL_CLUB_SECONDS", default=20),
    "MAX_COST": env.int("GRAPHQL_MAX_COST", default=50_000),
    # Off wherever others can reach the service; the schema is in the repository, in doors/graphql.
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
CELERY_WORKER_HIJACK_ROOT_LOGGER = False  # workers log as the web does
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = True
CELERY_WORKER_SOFT_SHUTDOWN_TIMEOUT = 10.0
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BROKER_CONNECTION_MAX_RETRIES = None
# A worker that is not told otherwise serves all of them; golfstats.ground.outbox.work says what each is for.
CELERY_TASK_QUEUES = [Queue("quick"), Queue("long"), Queue("messages")]
CELERY_TASK_DEFAULT_QUEUE = "quick"
CELERY_BEAT_SCHEDULE = {
    # A sweep that found no worker within its half minute is not worth catching up on.
    f"sweep {queue}": {
        "task": "golfstats.ground.outbox.sweep",
        "schedule": 30.0,
        "args": (queue,),
        "options": {"expires": 30.0, "queue": queue},
    }
    for queue in ("quick", "long", "messages")
} | {
    "purge": {"task": "golfstats.purge", "schedule": crontab(hour=3, minute=15), "options": {"queue": "long"}}
}
# Keeps its times in memory: a schedule in seconds needs no file.
CELERY_BEAT_SCHEDULER = "celery.beat:Scheduler"

# Invitations and forgotten passwords. Without a mail server they are printed where the messages' worker runs.
vars().update(env.email_url("EMAIL_URL", default="consolemail://"))
EMAIL_TIMEOUT = 10
DEFAULT_FROM_EMAIL = env.str("MAIL_FROM", default="golfstats@localhost")

# Who may read /metrics: whoever sends this as a bearer token. Without it there is no such address.
METRICS_TOKEN = env.str("METRICS_TOKEN", default="")
# Where the processes of one web count together; their library looks at the variable by itself.
METRICS_FOLDER = env.str("PROMETHEUS_MULTIPROC_DIR", default="")

# For a club whose own systems are on a private network: messages may go there, and over plain http.
WEBHOOKS_ALLOW_PRIVATE = env.bool("WEBHOOKS_ALLOW_PRIVATE", default=False)

BEHIND_TLS = env.bool("BEHIND_TLS", default=False)
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_TLS else None
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = LANGUAGE_COOKIE_SECURE = SECURE_SSL_REDIRECT = BEHIND_TLS
SECURE_REDIRECT_EXEMPT = [r"^health"]  # asked from inside, where no proxy is
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if BEHIND_TLS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = BEHIND_TLS

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"},
        "json": {"()": "golfstats.ground.logs.JsonLines"},
    },
    "filters": {"without secrets": {"()": "golfstats.ground.logs.WithoutSecrets"}},
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": env.str("LOG_FORMAT", default="line"),
            "filters": ["without secrets"],
        }
    },
    "root": {"handlers": ["console"], "level": env.str("LOG_LEVEL", default="WARNING")},
}

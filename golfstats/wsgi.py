"""WSGI entry point (gunicorn or waitress)."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
django = get_wsgi_application()

from golfstats.doors.serving import begin  # noqa: E402 - Django is set up only now

application = begin(django)

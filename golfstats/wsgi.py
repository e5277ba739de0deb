"""WSGI entry point (gunicorn or waitress)."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
application = get_wsgi_application()

"""WSGI entry point (gunicorn or waitress)."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
application = get_wsgi_application()

# After Django is set up: without Redis this process does the outstanding work itself.
from golfstats.outbox import thread  # noqa: E402

thread.start()

"""The Celery application: ``celery -A golfstats.celery worker`` and ``... beat``.

Not imported by the package itself, so that the pure calculations load without Celery and Django;
``golfstats.ground.outbox`` imports it whenever Django is set up.
"""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")

app = Celery("golfstats")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

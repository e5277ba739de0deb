"""WSGI entry point (gunicorn or waitress)."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
answer = get_wsgi_application()

from golfstats.doors.rest.bodies import with_length  # noqa: E402 - Django is set up only now

application = with_length(answer)

# Whatever a process makes once is made before it takes requests: addresses with their operations, the schema, tables.
from django.urls import get_resolver  # noqa: E402 - as above

from players.conditions.tasks import warm_up  # noqa: E402 - as above

_ = get_resolver().url_patterns
warm_up()

# Without Redis this process does the outstanding work itself.
from golfstats.ground.outbox import thread  # noqa: E402 - as above

thread.start()

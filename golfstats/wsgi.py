"""WSGI entry point (gunicorn or waitress)."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "golfstats.settings")
answer = get_wsgi_application()

from golfstats.doors.rest.http.bodies import with_length  # noqa: E402 - Django is set up only now

application = with_length(answer)

from threading import Thread  # noqa: E402 - as above

from golfstats.doors.warming import make_what_is_made_once  # noqa: E402 - as above

# Beside the start: on a busy machine it may take longer than a server grants its processes to begin.
Thread(target=make_what_is_made_once, name="warm up", daemon=True).start()

# Without Redis this process does the outstanding work itself.
from golfstats.ground.outbox import thread  # noqa: E402 - as above

thread.start()

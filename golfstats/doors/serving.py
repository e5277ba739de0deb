"""What a process of the web begins beside Django."""

from __future__ import annotations

from threading import Thread
from wsgiref.types import WSGIApplication

from golfstats.doors.rest.http.bodies import with_length
from golfstats.doors.warming import make_what_is_made_once
from golfstats.ground.outbox import thread


def begin(django: WSGIApplication) -> WSGIApplication:
    """The application that a server is to call; the threads of this process run from here on."""
    # Beside the start: on a busy machine it may take longer than a server grants its processes to begin.
    Thread(target=make_what_is_made_once, name="warm up", daemon=True).start()
    thread.start()  # without Redis this process does the outstanding work itself
    return with_length(django)

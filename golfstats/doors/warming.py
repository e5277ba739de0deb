"""What a process of the web makes once, made before somebody waits for it."""

from __future__ import annotations

import gc

from django.conf import settings
from django.urls import get_resolver
from django.utils import formats, translation
from django.utils.module_loading import import_string

from players.conditions.tasks import warm_up

USED_BY_REQUESTS = ("MESSAGE_STORAGE", "SESSION_SERIALIZER")
"""Settings that name what Django imports with the first request."""

LOOKS_FOR_GARBAGE_AFTER = 20_000
"""So many more objects than there were. An answer makes a few thousand, nearly all of which go by themselves once it is
sent. After Python's own 700 they were gone through while it was made: twice for a page of a hundred rounds, 134 times
for a coach's dashboard. Without that both take some 8% less of the processor; the process takes no more memory.
"""


def make_what_is_made_once() -> None:
    """Addresses with their operations, the schema, what requests import, catalogues, and the tables of figures."""
    gc.set_threshold(LOOKS_FOR_GARBAGE_AFTER)
    _ = get_resolver().url_patterns
    for name in USED_BY_REQUESTS:
        import_string(getattr(settings, name))
    for language, _name in settings.LANGUAGES:
        with translation.override(language):
            formats.get_format("DATE_FORMAT")
            translation.gettext("Sign in")
    warm_up()

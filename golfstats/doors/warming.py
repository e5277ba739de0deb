"""What a process of the web makes once, made before somebody waits for it."""

from __future__ import annotations

from django.conf import settings
from django.urls import get_resolver
from django.utils import formats, translation
from django.utils.module_loading import import_string

from players.conditions.tasks import warm_up

USED_BY_REQUESTS = ("MESSAGE_STORAGE", "SESSION_SERIALIZER")
"""Settings that name what Django imports with the first request."""


def make_what_is_made_once() -> None:
    """Addresses with their operations, the schema, what requests import, catalogues, and the tables of figures."""
    _ = get_resolver().url_patterns
    for name in USED_BY_REQUESTS:
        import_string(getattr(settings, name))
    for language, _name in settings.LANGUAGES:
        with translation.override(language):
            formats.get_format("DATE_FORMAT")
            translation.gettext("Sign in")
    warm_up()

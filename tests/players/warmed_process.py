"""A fresh process that warms up as the web does and then answers: what the answers made that all of them need.

Run with the address of an answer and a token; prints what was made too late, a line each,
and whether garbage was looked for again and again meanwhile.
"""

from __future__ import annotations

import functools
import gc
import inspect
import sys
from collections.abc import Iterator
from typing import Any

from django.core.wsgi import get_wsgi_application
from django.test import Client
from pydantic import TypeAdapter

OURS = ("golfstats.", "courses.", "players.")


def main(token: str, *addresses: str) -> None:
    get_wsgi_application()
    from golfstats.doors.warming import make_what_is_made_once

    make_what_is_made_once()
    modules, tables, adapters = set(sys.modules), _tables(), _adapters_noted()
    collections = _collections_noted()
    for address in addresses:
        answer = Client(headers={"Authorization": f"Bearer {token}"}).get(address)
        assert answer.status_code == 200, answer.content
    late = sorted(name for name in set(sys.modules) - modules if not name.startswith("django.test"))
    late += [name for name, made in _tables().items() if made > tables.get(name, 0)]
    sys.stdout.writelines(f"{name}\n" for name in [*late, *adapters])
    if len(collections) > len(addresses):
        sys.stdout.write(f"garbage was looked for {len(collections)} times\n")


def _tables() -> dict[str, int]:
    """What our functions made that take nothing and keep their answer, by name: how often each was made."""
    return {
        f"{one.__module__}.{one.__qualname__}": one.cache_info().misses for one in _kept_without_arguments()
    }


def _kept_without_arguments() -> Iterator[Any]:
    for one in gc.get_objects():
        # Asked of its type: a lazy object of Django's would be made by asking itself.
        ours = issubclass(type(one), functools._lru_cache_wrapper) and one.__module__.startswith(OURS)
        if ours and not inspect.signature(one).parameters:
            yield one


def _adapters_noted() -> list[str]:
    """The classes of answers whose writing is worked out from now on."""
    noted: list[str] = []
    make = TypeAdapter.__init__

    def noting(adapter: TypeAdapter[Any], what: Any, **options: Any) -> None:
        noted.append(f"writing {what}")
        make(adapter, what, **options)

    TypeAdapter.__init__ = noting  # type: ignore[method-assign]  # this process ends with it
    return noted


def _collections_noted() -> list[str]:
    """Each time that garbage is looked for from now on."""
    noted: list[str] = []
    gc.callbacks.append(lambda phase, _facts: noted.append(phase) if phase == "start" else None)
    return noted


if __name__ == "__main__":
    main(*sys.argv[1:])

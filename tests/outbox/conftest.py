from __future__ import annotations

from collections.abc import Iterator

import pytest

from golfstats.ground.outbox import work


@pytest.fixture
def kinds() -> Iterator[dict[str, work.Handler]]:
    """The registry of handlers, put back after the test: a test registers kinds of its own."""
    before = dict(work.handlers)
    yield work.handlers
    work.handlers.clear()
    work.handlers.update(before)

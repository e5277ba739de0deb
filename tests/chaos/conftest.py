from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.chaos.parts import Installation


@pytest.fixture
def folder() -> Iterator[Path]:
    # Not pytest's own: only its own user may enter that one, and PostgreSQL runs as another.
    made = Path(tempfile.mkdtemp())
    yield made
    shutil.rmtree(made)


@pytest.fixture
def installation(folder: Path) -> Iterator[Installation]:
    made = Installation(folder)
    try:
        made.start()
        yield made
    finally:
        made.stop()

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.chaos.parts import Installation


@pytest.fixture
def installation() -> Iterator[Installation]:
    # Not pytest's own folder: only its own user may enter that one, and PostgreSQL runs as another.
    folder = Path(tempfile.mkdtemp())
    made = Installation(folder)
    try:
        made.start()
        yield made
    finally:
        made.stop()
        shutil.rmtree(folder)

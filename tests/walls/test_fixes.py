"""What ``python -m tests.walls`` takes away is there to be taken away, and so are the tests that should notice."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.walls.fixes import FIXES
from tests.walls.taking_away import Fix

TESTS = Path(__file__).parent.parent


@pytest.mark.parametrize("fix", FIXES, ids=lambda fix: fix.name)
def test_each_can_be_taken_away(fix: Fix, monkeypatch: pytest.MonkeyPatch) -> None:
    fix.take_away(monkeypatch)
    file, _, name = fix.test.partition("::")
    function = name.partition("[")[0]
    assert re.search(rf"^def {function}\(", (TESTS / file).read_text(encoding="utf-8"), re.MULTILINE)

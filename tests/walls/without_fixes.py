"""A plugin of pytest that takes away, for each test named in ``fixes.py``, what that test holds.

A test may hold several: ``WITHOUT_FIXES`` says which of them goes, counted from 0. Tests that hold no further one
are left out.
"""

from __future__ import annotations

import os
from collections import defaultdict

import pytest

from tests.walls.fixes import FIXES
from tests.walls.taking_away import Fix


def fixes_of_tests() -> dict[str, list[Fix]]:
    by_test = defaultdict(list)
    for fix in FIXES:
        by_test[f"tests/{fix.test}"].append(fix)
    return by_test


def taken_away(node_id: str) -> Fix | None:
    """What is taken away for this test."""
    by_test = fixes_of_tests()
    held = by_test.get(node_id) or by_test.get(node_id.partition("[")[0], [])
    number = int(os.environ["WITHOUT_FIXES"])
    return held[number] if number < len(held) else None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items[:] = [item for item in items if taken_away(item.nodeid) is not None]


@pytest.fixture(autouse=True)
def without_its_fix(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    fix = taken_away(request.node.nodeid)
    assert fix is not None
    fix.take_away(monkeypatch)

from __future__ import annotations

from tests.players.conftest import place, scope

__all__ = ["place", "scope"]

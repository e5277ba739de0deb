from __future__ import annotations

from tests.players.conftest import Place, place, scope
from tests.web.conftest import played

__all__ = ["Place", "place", "played", "scope"]

from tests.players.conftest import place

__all__ = ["place"]

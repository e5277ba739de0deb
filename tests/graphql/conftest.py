from tests.players.conditions.conftest import fitted_club
from tests.players.conftest import place

__all__ = ["fitted_club", "place"]

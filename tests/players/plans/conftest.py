"""A player and the nine short holes that plans are made for."""

import pytest

from golfstats.ground.clubs.models import Role
from tests import factories


@pytest.fixture
def short_course(club):
    """Nine holes of par 3, so that a plan is made quickly."""
    tee_set = factories.make_tee_set(factories.make_course("Short course", 9))
    tee_set.holes.update(length=100, par_men=3, par_women=3)
    return tee_set


@pytest.fixture
def player(club):
    return factories.make_player(gender="women")


@pytest.fixture
def member(club):
    return factories.make_member(Role.COACH)

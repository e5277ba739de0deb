"""The demo's people, for the front page."""

from __future__ import annotations

from golfstats.demo import loading
from golfstats.doors.pages.sign_ins import DemoPerson, DemoSignIns


def sign_ins() -> DemoSignIns | None:
    """Everybody of the demo club with the password they share; ``None`` where it is not loaded."""
    description = loading.read_description()
    club = loading.find_club(description)
    if club is None:
        return None
    staff = [DemoPerson(one["username"], one["name"], one["role"]) for one in description["staff"]]
    players = [DemoPerson(one["username"], one["name"], "player") for one in description["players"]]
    return DemoSignIns(club.name, loading.PASSWORD, [*staff, *players])

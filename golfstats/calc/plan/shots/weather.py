"""What wind, temperature and height above the sea do to shots. By forecast: nothing is measured on the course.

Rules of thumb, and published figures differ by about half (see :mod:`golfstats.calc.figures.plays_like`): wind
costs 0.75% of the length a mile an hour into the face and gives 0.43% from behind; 10 °F are worth 0.66%; 1,000 feet
of height 1.4%, the share by which a player's own shots are brought to sea level. A cross wind of one mile an hour
moves a shot 0.1% of its length aside, and any wind widens the spreads by 0.8% a mile an hour (common practice, no
source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from golfstats.calc.figures.plays_like import (
    A_DEGREE_CELSIUS,
    A_METRE_OF_ALTITUDE,
    HELPING_A_MILE_AN_HOUR,
    INTO_A_MILE_AN_HOUR,
    NEUTRAL_CELSIUS,
)
from golfstats.calc.plan.shots.pattern import Bag

DRIFT_A_MILE_AN_HOUR, WIDER_A_MILE_AN_HOUR = 0.001, 0.008


@dataclass(frozen=True)
class Weather:
    """The forecast. Unknown is calm, 70 °F and sea level."""

    wind_mph: float = 0.0
    wind_from: float | None = 0.0
    """Radians clockwise from the line of play: 0 blows into the face, π from behind, π/2 from the right. ``None``: not
    known, so that the wind widens the patterns and moves nothing."""
    celsius: float = NEUTRAL_CELSIUS
    altitude: float = 0.0
    """Of the course, metres above the sea: the lengths that it is applied to are those at sea level."""


def in_weather(bag: Bag, weather: Weather) -> Bag:
    """The bag in this weather on a hole played straight ahead."""
    into = 0.0 if weather.wind_from is None else weather.wind_mph * math.cos(weather.wind_from)
    rate = INTO_A_MILE_AN_HOUR if into > 0 else HELPING_A_MILE_AN_HOUR
    share = -rate * into + A_DEGREE_CELSIUS * (weather.celsius - NEUTRAL_CELSIUS)
    length = (1 + share) * (1 + A_METRE_OF_ALTITUDE * weather.altitude)
    wider = 1 + WIDER_A_MILE_AN_HOUR * weather.wind_mph
    across = 0.0 if weather.wind_from is None else weather.wind_mph * math.sin(weather.wind_from)
    drift = -DRIFT_A_MILE_AN_HOUR * across
    changed = bag.scaled(length=max(length, 0.5), along=wider, across=wider)
    return replace(changed, clubs=tuple(replace(club, bias=club.bias + drift) for club in changed.clubs))

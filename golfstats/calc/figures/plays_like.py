"""How far a shot would have gone in calm air at 70 °F and sea level to a level target, by rules of thumb.

The published figures differ among themselves by about half, so every answer carries the distances that
half and one and a half times the correction give. The rules, each a compromise between press figures:

- wind: 0.75% of the distance a mile an hour into, 0.43% helping. Published for 10 mph: a 250-yard drive loses
  12-13 yards into and wins 9 (teaching press 2007 and 2021), a 6-iron 12 and 8, a professional's driver, 7-iron
  and wedge lose 16.5, 15.8 and 12.3 metres (golf press 2020); cross winds change no distance;
- height: one yard a yard (common practice);
- temperature: 0.66% for 10 °F (1.3-2 yards for 10 °F on a drive: golf press 2009-2023);
- altitude: 1.4% for 1,000 ft above the sea (2.5 yards for 1,000 ft on a 250-yard drive, a ball maker's 1.16%, and 2%:
  golf press, all second-hand).
"""

from __future__ import annotations

import numpy as np

from golfstats.calc.record import Bools, Floats, Record
from golfstats.calc.units import FEET_PER_METRE
from golfstats.calc.vocabulary import Wind
from golfstats.sentences import Sentence

INTO_A_MILE_AN_HOUR = 0.0075
HELPING_A_MILE_AN_HOUR = 0.0043
A_DEGREE_CELSIUS = 0.0066 * 9 / 5 / 10
A_METRE_OF_ALTITUDE = 0.014 * FEET_PER_METRE / 1000
"""Shares of the distance."""
NEUTRAL_CELSIUS = (70 - 32) * 5 / 9
DOUBT = 0.5
"""The rules of thumb may be wrong by this share of the correction, up or down."""

WORDS = Sentence(
    "Rules of thumb for wind, height, temperature and altitude; published figures differ by about half, "
    "so the correction may be 50% too small or too large."
)


def plays_like(
    travel: Floats, record: Record, strength: float = 1.0, altitude: Floats | None = None
) -> Floats:
    """Neutral distance of each shot of the record, in yards, from how far it went (``travel``).

    Wind comes with the shot, its speed from the shot or else the round, temperature from the round; ``altitude`` is
    the course's in each round, metres above the sea. What was not recorded (NaN) is not corrected. ``strength``
    scales the correction (0.5 to 1.5 is the range of doubt).
    """
    shots, rounds = record.shots, record.rounds
    into = np.where(shots.wind == Wind.INTO, -INTO_A_MILE_AN_HOUR, 0.0)
    helping = np.where(shots.wind == Wind.HELPING, HELPING_A_MILE_AN_HOUR, 0.0)
    wind = np.nan_to_num(_wind_speed(record) * (into + helping))
    warmth = np.nan_to_num(rounds.temperature[shots.round] - NEUTRAL_CELSIUS) * A_DEGREE_CELSIUS
    thin = 0.0 if altitude is None else np.nan_to_num(altitude[shots.round]) * A_METRE_OF_ALTITUDE
    height = np.nan_to_num(shots.elevation)
    neutral: Floats = travel / (1 + strength * (wind + warmth + thin)) + strength * height
    return neutral


def conditions_known(record: Record, altitude: Floats | None = None) -> Bools:
    """Shots with any condition recorded that the rules correct for (calm air counts)."""
    shots, rounds = record.shots, record.rounds
    speed_known = ~np.isnan(_wind_speed(record))
    windy = np.isin(shots.wind, [Wind.INTO, Wind.HELPING]) & speed_known
    warm = ~np.isnan(rounds.temperature[shots.round])
    high = np.False_ if altitude is None else ~np.isnan(altitude[shots.round])
    known: Bools = windy | (shots.wind == Wind.CALM) | ~np.isnan(shots.elevation) | warm | high
    return known


def _wind_speed(record: Record) -> Floats:
    shots, rounds = record.shots, record.rounds
    return np.where(np.isnan(shots.wind_speed), rounds.wind_speed[shots.round], shots.wind_speed)

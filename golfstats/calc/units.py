"""Units. Distances to the hole are yards everywhere; putting models think in feet."""

from enum import StrEnum

FEET_PER_YARD = 3.0
YARDS_PER_METRE = 1.0 / 0.9144
FEET_PER_METRE = FEET_PER_YARD * YARDS_PER_METRE


class Unit(StrEnum):
    """What a figure is counted in."""

    STROKES = "strokes"
    """Strokes in all, or gained."""
    STROKES_A_ROUND = "strokes a round"
    """Strokes for each 18 holes."""
    STROKES_A_SHOT = "strokes a shot"
    """Strokes for each shot."""
    RATE = "rate"
    """How many for each of what is counted."""
    SHARE = "share"
    """A part of the whole, from 0 to 1."""
    YARDS = "yd"
    """Yards."""
    FEET = "ft"
    """Feet."""
    METRES = "m"
    """Metres."""
    DEGREES = "degrees"
    """Degrees of an angle."""
    PERCENT = "percent"
    """Hundredths of what it is compared with."""
    PUTTS = "putts"
    """Putts."""
    SHOTS = "shots"
    """Shots."""
    INDEX = "index"
    """Strokes of a Handicap Index."""
    DAYS = "days"
    """Days."""

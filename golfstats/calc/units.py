"""Units. Distances to the hole are yards everywhere; putting models think in feet."""

from enum import StrEnum

FEET_PER_YARD = 3.0
YARDS_PER_METRE = 1.0 / 0.9144
FEET_PER_METRE = FEET_PER_YARD * YARDS_PER_METRE


class Unit(StrEnum):
    """What a figure is counted in."""

    STROKES = "strokes"
    STROKES_A_ROUND = "strokes a round"
    STROKES_A_SHOT = "strokes a shot"
    RATE = "rate"
    SHARE = "share"
    YARDS = "yd"
    FEET = "ft"
    METRES = "m"
    DEGREES = "degrees"
    PERCENT = "percent"
    PUTTS = "putts"
    SHOTS = "shots"
    INDEX = "index"
    DAYS = "days"

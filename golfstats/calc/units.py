"""Units. Distances to the hole are yards everywhere; putting models think in feet."""

FEET_PER_YARD = 3.0
YARDS_PER_METRE = 1.0 / 0.9144
FEET_PER_METRE = FEET_PER_YARD * YARDS_PER_METRE

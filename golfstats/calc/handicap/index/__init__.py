"""From Score Differentials to the Handicap Index: the average, its caps, and what a committee does to it."""

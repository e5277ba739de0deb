"""A record in order of play: its lines, why they are so, and what the next score would do."""

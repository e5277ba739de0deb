"""Pages of the greens: their state, work on them, and what holes and greens cost."""

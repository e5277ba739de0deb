"""REST of courses and their greens."""

"""Green work: how disturbed the surface is, what that costs in putts, and words for it."""

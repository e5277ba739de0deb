"""Strokes gained: expected strokes of a benchmark golfer, and what each shot gains against it."""

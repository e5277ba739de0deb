"""Course and playing handicap, and the holes on which their strokes fall."""

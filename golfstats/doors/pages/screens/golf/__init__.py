"""Pages of the golf itself: entering, playing, reading and planning a round."""

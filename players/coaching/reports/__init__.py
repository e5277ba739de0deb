"""What the worker states of each player, and what of it a coach opens on Monday."""

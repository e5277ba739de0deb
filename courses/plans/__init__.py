"""What holes look like: a map of each, or a few words about it."""

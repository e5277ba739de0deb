"""Plans of rounds: the best way round a course for a player on a day, made by the worker hole by hole."""

"""The index of hundreds of replays of one record, all at once."""

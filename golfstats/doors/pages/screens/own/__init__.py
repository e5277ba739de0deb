"""Pages of a person's own: the way in, the account, programs let in, the record."""

"""The invented demo club: loading it, and telling in a few lines what the service makes of it."""

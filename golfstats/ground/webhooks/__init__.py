"""Signed messages to a club's own systems when something happened."""

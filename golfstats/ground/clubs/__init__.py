"""Clubs, their members, and the scope that keeps each club to itself."""

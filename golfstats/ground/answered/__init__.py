"""Answers already given, kept for requests that are sent again."""

"""A player's page in chapters: one question each, its answer in words, a picture, and the numbers beneath."""

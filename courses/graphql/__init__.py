"""What GraphQL offers of courses and their greens."""

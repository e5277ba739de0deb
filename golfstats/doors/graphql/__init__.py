"""What every part of the GraphQL service shares: the endpoint, limits, errors, pages, rows of a club."""

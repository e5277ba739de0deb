"""Players and their golf, for GraphQL: the same queries, services, permissions and words as REST."""
